"""Who is let in by where it asks from: a monitoring system of the same network, to `/metrics` only."""

from __future__ import annotations

from collections.abc import Collection
from ipaddress import IPv4Network, IPv6Network, ip_address, ip_network

from flask import Request

Network = IPv4Network | IPv6Network

_PASSED_ON = ("HTTP_FORWARDED", "HTTP_X_FORWARDED_FOR", "HTTP_X_REAL_IP", "HTTP_VIA")
"""What proxies add: behind them everybody has the proxy's address."""


def networks(written: Collection[str]) -> tuple[Network, ...]:
    """Networks as they are written in settings; an address is a network of one."""
    return tuple(map(ip_network, written))


def asks_from(request: Request, allowed: Collection[Network]) -> bool:
    """Whether a request comes from one of these networks, and through no proxy."""
    if not allowed or any(name in request.environ for name in _PASSED_ON):
        return False
    try:
        address = ip_address(request.remote_addr or "")
    except ValueError:
        return False
    if address.version == 6 and address.ipv4_mapped is not None:
        address = address.ipv4_mapped
    return any(address in network for network in allowed)
