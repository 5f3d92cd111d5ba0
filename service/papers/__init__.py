"""Catalogue files: the maker's papers and the dealer's price list, written by hand as YAML.

`check(text)` tells every fault at once; `read_catalogue(text)` gives the catalogue, or raises
`CatalogueFaults`; `canonical_document(text)` is the form to store, which `load_document` reads back quickly.
The format is explained by the comments of `service/demo/catalogue.yaml`.
"""

from __future__ import annotations

from service.papers.faults import CatalogueFaults, Fault
from service.papers.reading import canonical_document, check, load_document, read_catalogue

__all__ = ["CatalogueFaults", "Fault", "canonical_document", "check", "load_document", "read_catalogue"]
