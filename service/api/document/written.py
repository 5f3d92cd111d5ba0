"""The document as a file: YAML in a stable order, without aliases."""

from __future__ import annotations

from enum import StrEnum
from typing import Any

import yaml


class _Dumper(yaml.SafeDumper):
    """Writes every object out, and long texts as blocks."""

    def ignore_aliases(self, data: Any) -> bool:  # noqa: ARG002 - the library's signature
        return True


def _text(dumper: yaml.SafeDumper, text: str) -> yaml.ScalarNode:
    style = "|" if "\n" in text else None
    return dumper.represent_scalar("tag:yaml.org,2002:str", text, style=style)


_Dumper.add_representer(str, _text)
_Dumper.add_multi_representer(StrEnum, lambda dumper, member: _text(dumper, str(member)))


def as_yaml(document: dict[str, Any]) -> str:
    """The text of openapi.yaml."""
    return yaml.dump(document, Dumper=_Dumper, sort_keys=False, allow_unicode=True, width=110)
