"""`openapi`: the document, with examples asked of the demo's world, and its list of tools for a chat."""

from __future__ import annotations

import argparse
import json
from pathlib import Path
from tempfile import TemporaryDirectory

from service.api.app import described
from service.api.document.examples import FILE
from service.api.document.tools import tools, values_of
from service.api.document.written import as_yaml
from service.cli.catalogue import sound
from service.cli.databases import opened
from service.cli.demo_database import of_demo
from service.cli.errors import UsageError
from service.demo.asking import asked
from service.demo.keys import STAFF_KEY
from service.files.whole import whole_file
from service.settings import Settings
from service.wiring import app_on


def add(parser: argparse.ArgumentParser) -> None:
    """The command's options."""
    parser.description = "Ask the demo's world for the examples, and write the document."
    parser.add_argument("file", type=Path, nargs="?", default=Path("openapi.yaml"), metavar="FILE")
    parser.add_argument(
        "--tools",
        action="store_true",
        help="print the operations for a chat as a list of tools for function calling, and write nothing",
    )
    parser.add_argument(
        "--catalogue",
        type=Path,
        metavar="FILE",
        help="with --tools: list the models, roles, capabilities and markets of this catalogue as the values "
        "that a parameter may have",
    )
    parser.set_defaults(run=run)


def run(given: argparse.Namespace, settings: Settings) -> int:
    """Write the examples beside the code, and the document."""
    if given.tools:
        named = values_of(sound(given.catalogue)) if given.catalogue else {}
        print(json.dumps(tools(described(), named), indent=2, ensure_ascii=False))
        return 0
    if given.catalogue:
        raise UsageError("--catalogue goes with --tools: the document is of no single catalogue")
    try:
        with whole_file(FILE) as stream:
            stream.write(fresh_examples(settings).encode())
        with whole_file(given.file) as stream:
            stream.write(as_yaml(described()).encode())
    except OSError as error:
        raise UsageError(f"cannot write {error.filename}: {error.strerror}") from None
    print(f"wrote {given.file}")
    return 0


def fresh_examples(settings: Settings) -> str:
    """The examples, asked anew."""
    with TemporaryDirectory() as folder:
        demo = of_demo(settings, Path(folder) / "demo.db")
        with opened(demo, must_exist=True) as engine:
            client = app_on(engine, demo, serving=False).test_client()
            client.environ_base["HTTP_AUTHORIZATION"] = f"Bearer {STAFF_KEY}"
            return as_yaml(asked(client))
