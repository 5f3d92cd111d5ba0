"""What the app leaves out of each request is nothing that it has."""

from __future__ import annotations

from flask import Flask
from werkzeug.routing import Rule


def redirects(rule: Rule) -> bool:
    """Whether the library may answer by naming another address, for which it has to know the host."""
    return rule.rule.endswith("/") or rule.redirect_to is not None or bool(rule.defaults) or rule.alias


def test_no_address_redirects(shop_app: Flask) -> None:
    assert [rule for rule in shop_app.url_map.iter_rules() if redirects(rule)] == []
    assert shop_app.url_map.merge_slashes is False
    assert shop_app.url_map.host_matching is False


def test_only_the_app_has_hooks(shop_app: Flask) -> None:
    hooks = (shop_app.before_request_funcs, shop_app.after_request_funcs, shop_app.url_value_preprocessors)
    assert [name for each in hooks for name, found in each.items() if found and name is not None] == []
    assert not any(shop_app.url_value_preprocessors.values())
