"""ISO 4217: the currencies, each with the digits of its minor unit.

Source: ISO 4217 list one of 2026-01-01. The codes of metals, funds and tests (XAU, XDR, XTS) have no minor
unit there, so no price can be written in them.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import Final

_DIGITS: Final[Mapping[int, tuple[str, ...]]] = {
    0: (
        "BIF", "CLP", "DJF", "GNF", "ISK", "JPY", "KMF", "KRW", "PYG", "RWF", "UGX", "UYI", "VND",
        "VUV", "XAF", "XOF", "XPF",
    ),
    2: (
        "AED", "AFN", "ALL", "AMD", "AOA", "ARS", "AUD", "AWG", "AZN", "BAM", "BBD", "BDT", "BMD",
        "BND", "BOB", "BOV", "BRL", "BSD", "BTN", "BWP", "BYN", "BZD", "CAD", "CDF", "CHE", "CHF",
        "CHW", "CNY", "COP", "COU", "CRC", "CUP", "CVE", "CZK", "DKK", "DOP", "DZD", "EGP", "ERN",
        "ETB", "EUR", "FJD", "FKP", "GBP", "GEL", "GHS", "GIP", "GMD", "GTQ", "GYD", "HKD", "HNL",
        "HTG", "HUF", "IDR", "ILS", "INR", "IRR", "JMD", "KES", "KGS", "KHR", "KPW", "KYD", "KZT",
        "LAK", "LBP", "LKR", "LRD", "LSL", "MAD", "MDL", "MGA", "MKD", "MMK", "MNT", "MOP", "MRU",
        "MUR", "MVR", "MWK", "MXN", "MXV", "MYR", "MZN", "NAD", "NGN", "NIO", "NOK", "NPR", "NZD",
        "PAB", "PEN", "PGK", "PHP", "PKR", "PLN", "QAR", "RON", "RSD", "RUB", "SAR", "SBD", "SCR",
        "SDG", "SEK", "SGD", "SHP", "SLE", "SOS", "SRD", "SSP", "STN", "SVC", "SYP", "SZL", "THB",
        "TJS", "TMT", "TOP", "TRY", "TTD", "TWD", "TZS", "UAH", "USD", "USN", "UYU", "UZS", "VED",
        "VES", "WST", "XAD", "XCD", "XCG", "YER", "ZAR", "ZMW", "ZWG",
    ),
    3: (
        "BHD", "IQD", "JOD", "KWD", "LYD", "OMR", "TND",
    ),
    4: (
        "CLF", "UYW",
    ),
}  # fmt: skip

MINOR_UNITS: Final[Mapping[str, int]] = MappingProxyType(
    {code: digits for digits, codes in _DIGITS.items() for code in codes}
)
"""Digits after the point by currency code; a code that is not here is no currency to price in."""
