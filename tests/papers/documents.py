"""Documents for the laws of catalogue files: the three catalogues, and changed copies of a small one."""

from __future__ import annotations

import json
from collections.abc import Iterator
from copy import deepcopy
from pathlib import Path
from typing import Any

import yaml
from hypothesis import strategies as st

HERE = Path(__file__).parent
SMALL = (HERE / "small.yaml").read_text(encoding="utf-8")
CATALOGUES = {
    "small": SMALL,
    "second maker": (HERE.parent / "catalogues/second_maker.yaml").read_text(encoding="utf-8"),
    "trade practice": (HERE.parent / "catalogues/trade_practice.yaml").read_text(encoding="utf-8"),
    "demo": (HERE.parents[1] / "service/demo/catalogue.yaml").read_text(encoding="utf-8"),
}


Path_ = tuple[str | int, ...]


def as_data(text: str) -> Any:
    """What another reader of YAML sees in a text; dates become their text."""
    loader = type("Undated", (yaml.SafeLoader,), {})
    loader.add_constructor("tag:yaml.org,2002:timestamp", lambda _, node: node.value)  # type: ignore[attr-defined]  # made just above
    return yaml.load(text, Loader=loader)  # noqa: S506 - a subclass of the safe loader


class Dumper(getattr(yaml, "CSafeDumper", yaml.SafeDumper)):  # type: ignore[misc]  # which of the two there is, the machine says
    """Writes a value that stands at two places twice, since a catalogue file knows no aliases."""

    def ignore_aliases(self, data: object) -> bool:  # noqa: ARG002 - what it overrides asks about one value
        return True


def as_text(data: Any) -> str:
    return str(yaml.dump(data, Dumper=Dumper, allow_unicode=True, sort_keys=False, width=1_000))


def as_json(data: Any) -> str:
    """The same much quicker, where all of it is JSON, which is YAML as well."""
    return json.dumps(data, ensure_ascii=False)


def places(data: Any, path: Path_ = ()) -> Iterator[Path_]:
    """Every place of a document under its root."""
    steps = data.items() if isinstance(data, dict) else enumerate(data) if isinstance(data, list) else ()
    for step, inner in steps:
        yield (*path, step)
        yield from places(inner, (*path, step))


def parent_of(data: Any, path: Path_) -> Any:
    for step in path[:-1]:
        data = data[step]
    return data


SMALL_DATA = as_data(SMALL)
SMALL_PLACES = list(places(SMALL_DATA))
KEYS = sorted({step for path in SMALL_PLACES for step in path if isinstance(step, str)})
NAMES = ["ant", "bee", "M-1", "P-1", "P-2", "names", "follows", "BB2010500", "AA2010500", "AA2051001", "1.1"]
WORDS = [*KEYS, *NAMES]
LEAVES = st.one_of(
    st.none(),
    st.booleans(),
    st.integers(min_value=-3, max_value=12),
    st.integers(),
    st.floats(),
    st.sampled_from(WORDS),
    st.text(max_size=12),
    st.dates(),
    st.binary(max_size=3),
)
VALUES = st.recursive(
    LEAVES,
    lambda inner: (
        st.lists(inner, max_size=3)
        | st.dictionaries(st.sampled_from(WORDS) | st.text(max_size=4), inner, max_size=3)
    ),
    max_leaves=6,
)


@st.composite
def changed_documents(draw: st.DrawFn) -> Any:
    """The small document with one to four places replaced, left out, renamed, or copied from elsewhere."""
    data = deepcopy(SMALL_DATA)
    for _ in range(draw(st.integers(1, 4))):
        path = draw(st.sampled_from(SMALL_PLACES))
        try:
            change(data, path, draw)
        except (KeyError, IndexError, TypeError, AttributeError):
            continue  # An earlier change has taken the place away.
    return data


def change(data: Any, path: Path_, draw: st.DrawFn) -> None:
    inside, step = parent_of(data, path), path[-1]
    match draw(st.sampled_from(["replace", "drop", "copy", "rename"])):
        case "replace":
            inside[step] = draw(VALUES)
        case "drop":
            del inside[step]
        case "copy":
            other = draw(st.sampled_from(SMALL_PLACES))
            inside[step] = deepcopy(parent_of(SMALL_DATA, other)[other[-1]])
        case "rename":
            inside[draw(st.sampled_from(WORDS))] = inside.pop(step)
