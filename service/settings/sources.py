"""Where settings come from: the environment, else the settings file, else their defaults.

A secret may stand in a file of its own, named by the setting's name and `_FILE`, as secrets are mounted into
containers.
"""

from __future__ import annotations

import tomllib
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from difflib import get_close_matches
from pathlib import Path
from typing import Any

from service.settings.listed import (
    IN_FILE,
    LISTED,
    PREFIX,
    SETTINGS_FILE,
    Settings,
    accepted,
    in_environment,
)
from service.settings.values import with_password

DEFAULT = "default"
LONGEST_SECRET = 4096


class SettingsError(ValueError):
    """What was told makes no settings; the message tells every fault and its mend."""


@dataclass(frozen=True, slots=True)
class InForce:
    """Settings, and where the value of each was told."""

    settings: Settings
    told_in: Mapping[str, str]

    def rows(self) -> list[tuple[str, str, str]]:
        """Of every setting its name in the environment, its value with secrets masked, and its source."""
        return [
            (
                in_environment(name),
                each.metadata["shows"](getattr(self.settings, name)),
                self.told_in.get(name, DEFAULT),
            )
            for name, each in LISTED.items()
        ]


@dataclass(frozen=True, slots=True)
class _Told:
    """One source: texts by the plain names of settings, and how it writes and calls itself."""

    texts: Mapping[str, str]
    writes: Callable[[str], str]
    called: str


@dataclass(frozen=True, slots=True)
class _Value:
    value: Any
    told_in: str


def from_environment(environment: Mapping[str, str]) -> Settings:
    """The settings of an environment and the file that it names. Raises SettingsError."""
    return in_force(environment).settings


def in_force(environment: Mapping[str, str]) -> InForce:
    """The same, with the source of each. Raises SettingsError with all faults at once."""
    faults: list[str] = []
    found: dict[str, _Value] = {}
    for source in _sources(environment, faults):
        faults += _unknown(source)
        # What is told later stands; what it overrules has to be right all the same.
        found |= _read(source, faults)
    values = {name: each.value for name, each in found.items()}
    if "database_password" in values and not faults:
        try:
            url = values.get("database_url", Settings().database_url)
            values["database_url"] = with_password(url, values["database_password"])
        except ValueError as fault:
            faults.append(f"{in_environment('database_password')}: {fault}")
    if faults:
        raise SettingsError("the settings have faults:\n  " + "\n  ".join(faults))
    return InForce(Settings(**values), {name: each.told_in for name, each in found.items()})


def _sources(environment: Mapping[str, str], faults: list[str]) -> Iterator[_Told]:
    """The file, and then the environment, which overrules it."""
    if SETTINGS_FILE in environment:
        file = environment[SETTINGS_FILE]
        try:
            texts = _texts(tomllib.loads(_content(file)), faults, file)
        except tomllib.TOMLDecodeError as fault:
            faults.append(f"{SETTINGS_FILE}: {file} is no TOML: {fault}")
        except ValueError as fault:
            faults.append(f"{SETTINGS_FILE}: {fault}")
        else:
            yield _Told(texts, lambda name: f"{file}: {name}", file)
    ours = {name: value for name, value in environment.items() if name.upper().startswith(PREFIX)}
    ours.pop(SETTINGS_FILE, None)
    plain = {_plain(name): value for name, value in sorted(ours.items())}
    yield _Told(plain, _as_in_environment, "environment")


def _plain(name: str) -> str:
    """The plain name of a setting of the environment; one that is not in capitals stays as it is written."""
    return name.removeprefix(PREFIX).lower() if name.isupper() else name


def _as_in_environment(name: str) -> str:
    return name if name.upper().startswith(PREFIX) else in_environment(name)


def _texts(document: Mapping[str, Any], faults: list[str], file: str) -> dict[str, str]:
    """The values of a settings file as the environment would write them."""
    texts = {}
    for name, value in document.items():
        if isinstance(value, str) or type(value) is int:
            texts[name] = str(value)
        elif isinstance(value, list) and value and all(isinstance(each, str) for each in value):
            texts[name] = ",".join(value)
        else:
            faults.append(f"{file}: {name}: must be a text, a whole number or a list of texts")
    return texts


def _unknown(source: _Told) -> Iterator[str]:
    known = accepted()
    for name in source.texts:
        if name not in known:
            yield f"{source.writes(name)}: is no setting, {_mend(name, known, source.writes)}"


def _mend(name: str, known: Sequence[str], writes: Callable[[str], str]) -> str:
    short = name.lower().removeprefix(PREFIX.lower())
    close = get_close_matches(short, known, n=1, cutoff=0.6)
    if close:
        return f"did you mean {writes(close[0]).rpartition(': ')[2]}?"
    return "`python -m service --help` lists them"


def _read(source: _Told, faults: list[str]) -> dict[str, _Value]:
    found = {}
    for name, each in LISTED.items():
        own = name + IN_FILE
        named = own if own in source.texts and own in accepted() else name
        try:
            told = _one(source, name, named)
            if told is not None:
                found[name] = _Value(each.metadata["reads"](told[0]), told[1])
        except ValueError as fault:
            faults.append(f"{source.writes(named)}: {fault}")
    return found


def _one(source: _Told, name: str, named: str) -> tuple[str, str] | None:
    """The text of a setting, or of the file that is `named` for it, and where it was told.

    Raises ValueError.
    """
    if named == name:
        return (source.texts[name], source.called) if name in source.texts else None
    if name in source.texts:
        raise ValueError(f"is told twice: leave out this or {source.writes(name).rpartition(': ')[2]}")
    file = source.texts[named]
    # An editor ends a file with a line break, which is no part of the secret.
    content = _content(file).removesuffix("\n").removesuffix("\r")
    if len(content) > LONGEST_SECRET:
        raise ValueError(f"{file!r} is too long to be a secret")
    return content, file


def _content(file: str) -> str:
    """The text of a file. Raises ValueError."""
    try:
        return Path(file).read_text(encoding="utf-8")
    except UnicodeDecodeError:
        raise ValueError(f"{file} is not UTF-8") from None
    except (OSError, ValueError) as fault:
        reason = fault.strerror if isinstance(fault, OSError) else "it is no path"
        raise ValueError(f"{file!r} cannot be read: {reason}") from None
