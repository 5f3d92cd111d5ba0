"""Serial numbers: schemes as data, and one engine that reads, checks and writes them.

A *scheme* says what the serials of one maker look like. Every serial is upper-case letters A to Z
and digits (and `*`, which one check system uses). It is written by hand, as a mapping:

```yaml
id: tillmoor-unit                 # a slug
name: plate serial                # for people
subject: unit                     # unit | board
alphabet: alphanumeric            # digits | letters | alphanumeric (default) | the characters themselves
lookalikes: true                  # default: a typed O is read as 0, I as 1, where only the digit can stand
fields:                           # in the order in which they stand; see below
  - {name: maker, kind: text, text: TM}
  - {name: product, kind: code, length: 2}
  - {name: year, kind: year, length: 2, years: {from: 2012, to: 2049}}
  - {name: week, kind: week}
  - {name: number, kind: sequence, length: 4}
  - {name: check, kind: check, system: iso-7064-mod-37-2}
made: [year, week]                # optional: the fields that say when it was made
order: [year, week, number]       # optional: the fields that order the serials, most significant first
models:                           # optional, for units: which models a serial can be of
  - {when: {product: W4}, models: [wren-4]}
  - {when: {product: [C1, C2], year: {from: 2019, to: 2023}}, models: [curlew-12]}
label: "{maker} {product} {year}{week} {number} {check}"   # optional: how the label groups it
```

Kinds of field, each with `name` and `kind`:

- `text`: fixed text. `text: TM`.
- `code`: letters and digits with a meaning. `length: 2`, or `length: [1, 3]`, and perhaps
  `characters: letters`; or `only: [W4, W8]` where every code is known and no other is right.
- `sequence`: a running number. `length: 5`; perhaps `characters` (default digits; others count in
  their own order, the first is zero), `from` and `to`, both inclusive.
- `year`: `years: {from: 2012, to: 2049}`, both inclusive, written as its last digits (`length: 1`,
  `2` or `4`) or as a code that starts over when it is used up (`codes: ABCDEFGHJK`, or a list).
  A year may stay open: the digit 5 is 2015, 2025, 2035 and 2045.
- `month` (two digits, or twelve `codes`), `day` (of the month, two digits), `week` (ISO 8601, two
  digits), `weekday` (ISO 8601, 1 is Monday).
- `check`: check character(s). `system:` one of `check.SYSTEMS`; `over: [product, number]` where
  it does not run over all other fields in their order. It may run over an earlier check field.

At most one field has a variable length. A value that YAML would take for a number (01, 12) goes
in quotes wherever text is meant. `when` joins conditions by "and"; a condition is one value, a
list of values, or `{from, to}`, both inclusive. Rows that both match both count: the serial may
be of any of their models. Board schemes have `parts` rows (`{when: …, parts: [TM-4410]}`) instead.

`made` takes a year, a year with week (and weekday), or a year with month (and day); with a week
the year is that of ISO 8601.

The verbs: `compact`, `is_valid`, `decode`, `format_serial`, `make`.
"""

from __future__ import annotations

from service.domain.serials.compacting import compact
from service.domain.serials.decoded import Decoded, Unreadable, UnreadableCause
from service.domain.serials.decoding import decode, is_valid, order_key
from service.domain.serials.document import Fault, SchemeFaults, scheme_faults, scheme_from_document
from service.domain.serials.fields import Check, Field, FieldKind, Value, Values
from service.domain.serials.overlapping import overlap
from service.domain.serials.scheme import Scheme, Subject
from service.domain.serials.tables import Condition, Row, Table
from service.domain.serials.writing import format_serial, make

__all__ = [
    "Check",
    "Condition",
    "Decoded",
    "Fault",
    "Field",
    "FieldKind",
    "Row",
    "Scheme",
    "SchemeFaults",
    "Subject",
    "Table",
    "Unreadable",
    "UnreadableCause",
    "Value",
    "Values",
    "compact",
    "decode",
    "format_serial",
    "is_valid",
    "make",
    "order_key",
    "overlap",
    "scheme_faults",
    "scheme_from_document",
]
