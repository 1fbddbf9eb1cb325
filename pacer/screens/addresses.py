"""Where other devices find this one: its addresses on the networks that it is in or that it makes itself."""

from __future__ import annotations

import ipaddress
import socket
import struct
from collections.abc import Iterable

_SIOCGIFADDR = 0x8915  #: Linux: the IPv4 address of an interface (netdevice(7))
_SOMEWHERE = ("192.168.1.1", "10.0.0.1", "172.16.0.1", "8.8.8.8")  #: nothing is sent there


def addresses() -> tuple[str, ...]:
    """IPv4 addresses, the likeliest first: this machine's own alone where it is in no network."""
    return ranked((*_of_interfaces(), *_towards_others())) or ("127.0.0.1",)


def ranked(found: Iterable[str]) -> tuple[str, ...]:
    """Those of private networks, then others; none twice, none that lead back to the machine itself.

    >>> ranked(["127.0.0.1", "8.8.4.4", "192.168.43.1", "10.0.0.7", "192.168.43.1", "169.254.3.4"])
    ('192.168.43.1', '10.0.0.7', '8.8.4.4')
    """
    parsed = [ipaddress.IPv4Address(text) for text in dict.fromkeys(found)]
    usable = [one for one in parsed if not (one.is_loopback or one.is_link_local or one.is_unspecified)]
    home = ipaddress.ip_network("192.168.0.0/16")
    return tuple(str(one) for one in sorted(usable, key=lambda one: (not one.is_private, one not in home)))


def _of_interfaces() -> list[str]:
    try:
        from fcntl import ioctl

        names = [name for _, name in socket.if_nameindex()]
    except (ImportError, OSError, AttributeError):
        return []
    found = []
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as asked:
        for name in names:
            try:
                told = ioctl(asked.fileno(), _SIOCGIFADDR, struct.pack("256s", name.encode()[:15]))
            except OSError:  # it has none
                continue
            found.append(socket.inet_ntoa(told[20:24]))
    return found


def _towards_others() -> list[str]:
    """The address that would be sent from; connecting a datagram socket sends nothing."""
    found = []
    for target in _SOMEWHERE:
        with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as asked:
            try:
                asked.connect((target, 9))
            except OSError:
                continue
            found.append(asked.getsockname()[0])
    return found
