"""From a document without faults to the catalogue's values."""

from __future__ import annotations

from types import MappingProxyType
from typing import Any, TypeVar

from service.domain.catalogue.model import (
    Allowance,
    Campaign,
    Capability,
    Catalogue,
    Companion,
    Connection,
    Family,
    Hardware,
    Listing,
    Model,
    ModelRole,
    Part,
    Procedure,
    Replacement,
    Role,
    Sale,
    SaleTerms,
)
from service.domain.catalogue.upgrades import AccessoryOffer, Conversion, MachineFigures, ModelOffer, Upgrades
from service.domain.serials import Scheme
from service.domain.terms import BindingPolicy, MarketId, Overload, RoleId, StepKind, Who
from service.papers.draft import Draft, release_names
from service.papers.releasing import software_of

# INVARIANT: the document has no faults, so every name in it is one that it defines and every value has
# its own type. The draft's values are therefore taken as they are, without another look.

K = TypeVar("K")
V = TypeVar("V")


def build(draft: Draft, schemes: tuple[Scheme, ...], revision: str) -> Catalogue:
    """The catalogue of a document that has no faults."""
    roles = {key: _role(key, told) for key, told in draft["roles"].items()}
    markets = frozenset(draft["markets"])
    return Catalogue(
        revision=revision,
        maker=draft["maker"],
        dealer=draft["dealer"],
        currency=draft["currency"],
        markets=_frozen(draft["markets"]),
        schemes=schemes,
        roles=_frozen(roles),
        capabilities=_frozen(
            {key: _capability(key, told, roles) for key, told in draft["capabilities"].items()}
        ),
        families=_frozen({key: _family(key, told) for key, told in draft["families"].items()}),
        models=_frozen({key: _model(key, told, markets) for key, told in draft["models"].items()}),
        parts=_frozen({told["number"]: _part(told, roles[told["role"]]) for told in draft["parts"]}),
        features=_frozen(draft["features"]),
        accessories=_frozen(draft["accessories"]),
        software=software_of(draft),
        sale=draft["sale"] and _sale(draft["sale"]),
        campaigns=tuple(_campaign(key, told) for key, told in draft["campaigns"].items()),
        translations=_frozen({key: _frozen(told) for key, told in draft["translations"].items()}),
        upgrades=draft["upgrades"] and _upgrades(draft["upgrades"]),
    )


def _frozen(values: dict[K, V]) -> MappingProxyType[K, V]:
    return MappingProxyType(values)


def _some(names: list[Any] | None) -> frozenset[Any] | None:
    """A narrowing list; None where it is left out, which is no narrowing."""
    return None if names is None else frozenset(names)


def _role(key: str, told: Draft) -> Role:
    connection = told["connection"]
    return Role(
        id=RoleId(key),
        name=told["name"],
        where=told["where"],
        recognise=told["recognise"],
        functions=_frozen(told["functions"]),
        connection=connection and Connection(through=connection["through"], cable=connection["cable"]),
        places=tuple(told["places"]),
        releases=tuple(release_names(told)),
        safety=told["safety"],
    )


def _capability(key: Any, told: Draft, roles: dict[Any, Role]) -> Capability:
    return Capability(
        id=key,
        name=told["name"],
        is_count=told["kind"] == "count",
        hardware=tuple(Hardware(role=need["role"], feature=need["feature"]) for need in told["hardware"]),
        accessory=told["accessory"],
        releases=_frozen({role: roles[role].releases.index(name) for role, name in told["releases"].items()}),
    )


def _family(key: Any, told: Draft) -> Family:
    needs = {role: tuple(map(StepKind, steps)) for role, steps in told["free_part_needs"].items()}
    return Family(
        id=key,
        name=told["name"],
        covered=told["covered"],
        power_on_binds=told["blank_follower_binds"] == "at_power_on",
        matched_pair_needs_introducing=told["matched_pair_moved"] == "introduce_again",
        another_serial_allowed=told["another_serial"] == "allowed",
        always_enter_serial=told["enter_serial"] == "always",
        procedures=tuple(map(_procedure, told["procedures"])),
        free_part_needs=_frozen(needs),
    )


def _procedure(told: Draft) -> Procedure:
    least, most = told["minutes"]
    return Procedure(
        kind=StepKind(told["step"]),
        who=Who(told["who"]),
        minutes=(least, most),
        tool=told["tool"],
        subject=told["subject"],
        subject_name=told["name"],
    )


def _model(key: Any, told: Draft, markets: frozenset[MarketId]) -> Model:
    return Model(
        id=key,
        name=told["name"],
        family=told["family"],
        markets=_some(told["markets"]) or markets,
        roles=_frozen({role: _model_role(role, use) for role, use in told["roles"].items()}),
        allows=_frozen({of: _allowance(allowed) for of, allowed in told["allows"].items()}),
    )


def _model_role(role: Any, told: Draft) -> ModelRole:
    return ModelRole(
        role=role,
        required=told["required"],
        features=frozenset(told["features"]),
        markets=_some(told["markets"]),
    )


def _allowance(told: Draft) -> Allowance:
    return Allowance(
        amount=told["amount"],
        overload=Overload(told["more"]),
        planned=told["planned"],
        markets=_some(told["markets"]),
    )


def _part(told: Draft, role: Role) -> Part:
    return Part(
        number=told["number"],
        name=told["name"],
        role=role.id,
        binding=BindingPolicy(told["binding"]),
        features=_frozen(told["features"]),
        printed=tuple(told["printed"]),
        listings=tuple(map(_listing, told["fits"])),
        markets=_some(told["markets"]),
        replaces=tuple(map(_replacement, told["replaces"])),
        companions=tuple(Companion(**companion) for companion in told["goes_with"]),
        price=told["price"],
        lead_days=told["lead_days"],
        release=None if told["release"] is None else role.releases.index(told["release"]),
        used_price=told["used_price"],
    )


def _listing(told: Draft) -> Listing:
    return Listing(**{**told, "models": frozenset(told["models"])})


def _replacement(told: Draft) -> Replacement:
    return Replacement(part=told["part"], both_ways=told["both_ways"], models=_some(told["models"]))


def _sale(told: Draft) -> Sale:
    return Sale(
        valid_days=told["valid_days"],
        terms=_frozen({market: _terms(terms) for market, terms in told["markets"].items()}),
    )


def _terms(told: Draft) -> SaleTerms:
    stated = {name: value for name, value in told.items() if name != "tax"}
    tax = told["tax"]
    return SaleTerms(tax_rate=tax["rate"], prices_include_tax=tax["prices"] == "included", **stated)


def _campaign(key: str, told: Draft) -> Campaign:
    narrowed = {"models": _some(told["models"]), "parts": _some(told["parts"])}
    return Campaign(id=key, **{**told, **narrowed})


def _upgrades(told: Draft) -> Upgrades:
    return Upgrades(
        worth_it_share=told["worth_it_percent"] / 100,
        models=_frozen({model: _model_offer(offer) for model, offer in told["models"].items()}),
        accessories=_frozen({name: AccessoryOffer(**offer) for name, offer in told["accessories"].items()}),
        conversions=tuple(_conversion(each) for each in told["conversions"] if each["policy"] != "never"),
    )


def _model_offer(told: Draft) -> ModelOffer:
    return ModelOffer(**{**told, "performance": _figures(told["performance"] or {})})


def _figures(told: Draft) -> MachineFigures:
    figures = {name: value for name, value in told.items() if name != "usable_percent"}
    percent = told.get("usable_percent")
    return MachineFigures(**figures, usable_share=None if percent is None else percent / 100)


def _conversion(told: Draft) -> Conversion:
    return Conversion(
        source=told["from"], target=told["to"], price=told["price"], lead_days=told["lead_days"]
    )
