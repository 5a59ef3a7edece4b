"""What one device changes, and all others see: parts of pages, sent to each browser that looks at them."""

import asyncio
import json
from collections.abc import AsyncIterator
from contextlib import suppress
from dataclasses import dataclass, field

_MOST_WAITING = 500
"""A browser that sleeps longer is sent away, and loads its page anew."""


@dataclass(eq=False)
class _Listener:
    about: str
    loop: asyncio.AbstractEventLoop
    parts: asyncio.Queue[str] = field(default_factory=lambda: asyncio.Queue(_MOST_WAITING))


class Live:
    """The browsers that look at something, and what is sent to them."""

    def __init__(self) -> None:
        self._listeners: set[_Listener] = set()

    def tell(self, about: str, part: str, html: str, by: int, told: str = "") -> None:
        """Send a part of a page (the id of its element) to all who look at what it is about; `by` is the
        number of the session that changed it, and `told` what the others are told of that. May be called in
        any thread."""
        message = json.dumps({"part": part, "html": html, "by": by, "told": told})
        for listener in tuple(self._listeners):
            if listener.about == about:
                with suppress(RuntimeError):  # its loop was closed a moment ago
                    listener.loop.call_soon_threadsafe(self._put, listener, message)

    def ring(self, about: str, by: int, state: str = "") -> None:
        """Tell all who look at something that it has changed, and not how: each asks anew, unless it shows
        the new `state` already."""
        self.tell(about, "", "", by, state)

    async def listen(self, about: str, beat: float = 15.0) -> AsyncIterator[str]:
        """The parts as server-sent events (WHATWG HTML, 9.2), and a comment in each silence of `beat`
        seconds, so that a browser that has gone is noticed."""
        listener = _Listener(about, asyncio.get_running_loop())
        self._listeners.add(listener)
        try:
            yield "retry: 1000\n\n"
            while listener in self._listeners:
                try:
                    message = await asyncio.wait_for(listener.parts.get(), beat)
                    yield f"data: {message}\n\n"
                except TimeoutError:
                    yield ": still here\n\n"
        finally:
            self._listeners.discard(listener)

    def _put(self, listener: _Listener, message: str) -> None:
        try:
            listener.parts.put_nowait(message)
        except asyncio.QueueFull:
            self._listeners.discard(listener)
