"""Compiles each template and each rule of an address once in a process.

Every test makes an app of its own, and would compile them all again.
"""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from tempfile import TemporaryDirectory
from types import CodeType
from typing import ClassVar

from flask import Flask
from jinja2 import BytecodeCache
from jinja2.bccache import Bucket
from werkzeug.routing import Rule

from webapp.web import assets, words
from webapp.web.app import create_app


class Remembered(BytecodeCache):
    """What was compiled, by name and text of the template: a changed one is compiled anew."""

    def __init__(self) -> None:
        self.codes: dict[tuple[str, str], CodeType] = {}

    def load_bytecode(self, bucket: Bucket) -> None:
        bucket.code = self.codes.get((bucket.key, bucket.checksum))

    def dump_bytecode(self, bucket: Bucket) -> None:
        assert bucket.code is not None
        self.codes[bucket.key, bucket.checksum] = bucket.code


def compile_once() -> None:
    """Let all apps of this process share what they compile."""
    Flask.jinja_options = {**Flask.jinja_options, "bytecode_cache": Remembered()}
    Flask.url_rule_class = RememberedRule


class RememberedRule(Rule):
    """A rule whose builders of addresses are shared by all rules of the same text: they are functions of the text."""

    builders: ClassVar[dict[tuple[str, str, bool], Callable[..., tuple[str, str]]]] = {}

    def _compile_builder(self, append_unknown: bool = True) -> Callable[..., tuple[str, str]]:
        key = (self.rule, repr(sorted((self.defaults or {}).items())), append_unknown)
        if key not in self.builders:
            self.builders[key] = super()._compile_builder(append_unknown)
        return self.builders[key]


def compile_all() -> None:
    """Compile everything now, and read what phones keep, for the processes that are forked from this one."""
    compile_once()
    assets.version()
    for page in assets.BOAT_PAGES:
        assets.modules(page), assets.modules(page, late=True)
    assets.more()
    words.labels_json()
    with TemporaryDirectory() as name:
        templates = create_app({"DATA_FILE": str(Path(name) / "none.sqlite3"), "SECRET_KEY": "for tests"}).jinja_env
        for one in templates.list_templates(extensions=["html", "txt", "js"]):
            templates.get_template(one)
