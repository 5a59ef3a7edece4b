"""Finds this machine's own address in the local network, under which tablets in the same room reach it."""

import ipaddress
import socket
from contextlib import closing

from coachbook.errors import CoachbookError

_TOWARDS = ("192.0.2.1", "10.42.0.2", "192.168.137.2", "192.168.2.2")
"""Where a way is asked for, the usual one first: an address that nobody has (RFC 5737), and, where there is
no way out, those that Linux, Windows and macOS give to guests of a network of the laptop's own (from memory,
no source)."""


def local_address() -> str:
    """Such as "192.168.1.20": of several, the one from which the way leads out. Nothing is sent to find it.

    Raises CoachbookError if this machine is in no local network, or straight in the open Internet.
    """
    found = next(filter(None, map(_address_towards, _TOWARDS)), "")
    if not found:
        raise CoachbookError(
            "This machine is in no local network, so no tablet can reach it.",
            "Join the network of the room first, or leave the room out.",
        )
    if ipaddress.ip_address(found).is_global:
        raise CoachbookError(
            f"This machine's address, {found}, can be reached from the whole Internet.",
            "Join a network of your own first, or leave the room out.",
        )
    return found


def _address_towards(other: str) -> str:
    """The address of this machine on the way to another; "" if there is no way."""
    with closing(socket.socket(socket.AF_INET, socket.SOCK_DGRAM)) as asking:
        try:
            asking.connect((other, 9))  # of a datagram socket this only chooses the way
            found = str(asking.getsockname()[0])
        except OSError:
            return ""
    address = ipaddress.ip_address(found)
    return "" if address.is_loopback or address.is_unspecified else found
