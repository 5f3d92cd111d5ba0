"""A set of values as one bind parameter: the statement stays the same however many there are."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

import orjson
from sqlalchemy import ColumnElement, Text, any_, bindparam, column, func, select
from sqlalchemy.dialects.postgresql import ARRAY


def among(value: ColumnElement[Any], name: str, dialect: str) -> ColumnElement[bool]:
    """Whether a column's value is in the set that is bound to `name` (see `bound_set`)."""
    if dialect == "postgresql":
        return value == any_(bindparam(name, type_=ARRAY(type(value.type))))
    members = func.json_each(bindparam(name, type_=Text)).table_valued("value")
    return value.in_(select(column("value")).select_from(members))


def is_bound(value: ColumnElement[Any], name: str) -> ColumnElement[bool]:
    """Whether a column's value is the one that is bound to `name`: a set of one, for half the price."""
    return value == bindparam(name, type_=value.type)


def bound_set(values: Iterable[str] | Iterable[int], dialect: str) -> object:
    """The value to bind for a set."""
    return list(values) if dialect == "postgresql" else orjson.dumps(list(values)).decode()
