"""Addresses of this machine: which come first, and what somebody may give."""

from __future__ import annotations

import ipaddress
import socket

import pytest

from oilwedge.errors import InputError
from oilwedge.web.serving import addresses
from oilwedge.web.serving.addresses import (
    LocalAddresses,
    asked_address,
    find_addresses,
    order_addresses,
)


def test_the_way_that_the_system_takes_comes_first() -> None:
    found = ("10.0.0.4", "192.168.1.5", "172.16.0.2")
    assert order_addresses(found, route="172.16.0.2")[0] == "172.16.0.2"


def test_without_a_way_home_networks_come_before_others() -> None:
    found = ("203.0.113.9", "172.20.0.2", "169.254.3.4", "10.0.0.4", "192.168.1.5")
    assert order_addresses(found) == (
        "192.168.1.5", "10.0.0.4", "172.20.0.2", "203.0.113.9", "169.254.3.4",
    )  # fmt: skip


def test_an_address_that_nobody_assigned_is_last_even_as_the_way() -> None:
    assert order_addresses(("10.0.0.4",), route="169.254.1.1") == ("10.0.0.4", "169.254.1.1")


def test_loopback_doubles_and_what_is_no_address_are_left_out() -> None:
    found = ("127.0.0.1", "127.0.1.1", "0.0.0.0", "10.0.0.4", "10.0.0.4", "", "fe80::1")
    assert order_addresses(found) == ("10.0.0.4",)


@pytest.mark.parametrize(
    ("host_name", "name"),
    [
        ("anvil", "anvil.local"),
        ("anvil.local", "anvil.local"),
        ("a.shop.example", "a.shop.example"),
    ],
)
def test_the_machine_answers_to_its_name_and_to_itself(host_name: str, name: str) -> None:
    names = LocalAddresses(host_name=host_name, addresses=("10.0.0.4",)).names
    assert names == ("10.0.0.4", name, "localhost", "127.0.0.1")


@pytest.mark.parametrize("host_name", ["", "localhost"])
def test_a_machine_without_a_name_answers_to_its_addresses(host_name: str) -> None:
    names = LocalAddresses(host_name=host_name, addresses=()).names
    assert names == ("localhost", "127.0.0.1")


@pytest.mark.parametrize(
    ("text", "name"),
    [("192.168.1.20", "192.168.1.20"), (" Bench.Local. ", "bench.local"), ("b-1", "b-1")],
)
def test_an_address_is_taken_as_people_type_it(text: str, name: str) -> None:
    assert asked_address(text) == name


@pytest.mark.parametrize(
    "text",
    ["", "https://bench.local", "bench.local:8470", "192.168.1", "300.1.1.1", "-a.local", "a b",
     "a..b", "x" * 64, "bänk.local", "::1", "a/b"],
)  # fmt: skip
def test_what_is_no_address_is_refused_in_one_sentence(text: str) -> None:
    with pytest.raises(InputError, match=r"leave out https:// and the port\.$"):
        asked_address(text)


def test_what_is_found_are_addresses_of_this_machine() -> None:
    for text in find_addresses().addresses:
        assert not ipaddress.IPv4Address(text).is_loopback
        with socket.socket() as probe:
            probe.bind((text, 0))  # only an own address can be taken


def test_a_machine_without_a_network_is_found_by_nobody_and_nothing_fails(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(addresses, "_route", lambda: "")
    monkeypatch.setattr(addresses, "_interface_addresses", lambda name: [])
    assert find_addresses().addresses == ()
