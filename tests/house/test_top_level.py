"""The repository's top level holds what a reader expects there, and nothing else."""

from tests.house.tree import ROOT, left_out

VISIBLE = {
    "DEVELOPERS.md",
    "README.md",
    "docker",
    "migrations",
    "openapi.yaml",
    "pyproject.toml",
    "service",
    "tests",
}


def test_every_visible_entry_is_one_of_the_known_ones() -> None:
    found = {entry.name for entry in ROOT.iterdir() if not entry.name.startswith(".")}
    assert {entry for entry in found if not left_out(entry)} == VISIBLE


def test_what_tools_leave_behind_is_told_from_the_rest() -> None:
    assert left_out("boardfit.egg-info")
    assert not left_out("service")
