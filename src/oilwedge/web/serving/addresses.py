"""Under which names and addresses this machine is reached in the shop's network.

Nothing is sent to find them: the system is asked for its interfaces, and which of them it would
take (connecting a datagram socket picks a way and sends no packet).
"""

from __future__ import annotations

import ipaddress
import re
import socket
import struct
import sys
from collections.abc import Iterable
from dataclasses import dataclass

from oilwedge.errors import Fault, InputError, Where

LOOPBACK_NAMES = ("localhost", "127.0.0.1")
# Documentation addresses (RFC 5737): they exist nowhere, and no packet goes there.
_NOWHERE = ("192.0.2.1", 9)
_LABEL = re.compile(r"(?!-)[a-z0-9-]{1,63}(?<!-)", re.ASCII)
# Bridges of virtual machines and containers: no phone reaches this machine over them.
_INSIDE = ("lo", "docker", "br-", "veth", "virbr", "vmnet", "cni", "podman")
# What shops and homes use, in the order in which a phone is more likely to reach it
# (RFC 1918; 169.254/16 is what a machine takes when nobody gives it an address, RFC 3927).
_LIKELY = tuple(
    ipaddress.ip_network(text) for text in ("192.168.0.0/16", "10.0.0.0/8", "172.16.0.0/12")
)
_UNASSIGNED = ipaddress.ip_network("169.254.0.0/16")


@dataclass(frozen=True, kw_only=True, slots=True)
class LocalAddresses:
    """What this machine is called and which IPv4 addresses it has, the likeliest first."""

    host_name: str
    addresses: tuple[str, ...]

    @property
    def names(self) -> tuple[str, ...]:
        """Every name and address to answer to: addresses, the name, and the machine itself.

        A name of one word is answered to with ``.local`` behind it, under which machines find
        each other without a name server (RFC 6762).
        """
        name = self.host_name
        if "." not in name:
            name = f"{name}.local" if name not in ("", "localhost") else ""
        return tuple(dict.fromkeys((*self.addresses, *filter(None, (name,)), *LOOPBACK_NAMES)))


def asked_address(text: str) -> str:
    """A name or an IPv4 address as somebody gives it to be reached by, in lower case.

    Raises :class:`InputError` for anything else, such as a whole web address.
    """
    name = text.strip().lower().rstrip(".")
    try:
        return str(ipaddress.IPv4Address(name))
    except ValueError:
        pass
    labels = name.split(".")
    named = len(name) <= 253 and all(_LABEL.fullmatch(label) for label in labels)
    if named and not labels[-1].isdecimal():  # 192.168.1 is no name
        return name
    raise InputError(
        Fault(
            where=Where(file="--address"),
            given=text,
            allowed="an address is a host name or four numbers, as bench.local or 192.168.1.20",
            action="leave out https:// and the port",
        )
    )


def order_addresses(found: Iterable[str], *, route: str = "") -> tuple[str, ...]:
    """IPv4 addresses without doubles, the one that a phone most likely reaches first.

    ``route`` is the one that the system itself would send from; it comes first unless nobody
    assigned it. Loopback and what is no address are left out.
    """
    known: dict[str, ipaddress.IPv4Address] = {}
    for text in (route, *found):
        try:
            address = ipaddress.IPv4Address(text)
        except ValueError:
            continue
        if not (address.is_loopback or address.is_unspecified or address.is_multicast):
            known[str(address)] = address

    def rank(text: str) -> tuple[int, int]:
        address = known[text]
        if address in _UNASSIGNED:
            return (len(_LIKELY) + 1, int(address))
        if text == route:
            return (-1, 0)
        for place, network in enumerate(_LIKELY):
            if address in network:
                return (place, int(address))
        return (len(_LIKELY), int(address))

    return tuple(sorted(known, key=rank))


def find_addresses() -> LocalAddresses:
    """Ask the system for its name and for the addresses of its interfaces."""
    name = socket.gethostname().strip().lower().rstrip(".")
    labels = name.split(".")
    known = name if name and all(_LABEL.fullmatch(label) for label in labels) else ""
    return LocalAddresses(
        host_name=known, addresses=order_addresses(_interface_addresses(name), route=_route())
    )


def _route() -> str:
    """The address that the system would send from, or nothing without a network."""
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
        try:
            probe.connect(_NOWHERE)
            return str(probe.getsockname()[0])
        except OSError:
            return ""


def _interface_addresses(name: str) -> list[str]:
    """IPv4 addresses of the interfaces; where they cannot be listed, those of the own name."""
    system = sys.platform
    if system == "linux":
        names = [one for _, one in socket.if_nameindex() if not one.startswith(_INSIDE)]
        return [address for one in names if (address := _address_of(one))]
    if system == "win32":  # answers from its own interfaces, without asking the network
        try:
            return socket.gethostbyname_ex(name)[2]
        except OSError:
            return []
    return []


def _address_of(interface: str) -> str:
    """The IPv4 address of a Linux interface, or nothing (netdevice(7), SIOCGIFADDR)."""
    import fcntl  # Windows has none

    get_interface_address = 0x8915
    request = struct.pack("256s", interface.encode()[:15])
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
        try:
            answer = fcntl.ioctl(probe.fileno(), get_interface_address, request)
        except OSError:
            return ""
    return socket.inet_ntoa(answer[20:24])
