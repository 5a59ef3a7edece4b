"""The desk: a browser for a front end, served from the coach's own machine.

A second front end over the same workflows: each handler calls one, and shows what comes of it. One file a
page (`*_page.py`), with a template of the same name; `app` puts them together, `guard` stands before them,
`server` starts them. Nothing else imports it but the command that starts it.
"""

__all__ = ["server"]
