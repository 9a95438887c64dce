"""Compiles each template once in a process: every test makes an app of its own, and would compile them all again."""

from __future__ import annotations

from pathlib import Path
from tempfile import TemporaryDirectory
from types import CodeType

from flask import Flask
from jinja2 import BytecodeCache
from jinja2.bccache import Bucket

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


def compile_all() -> None:
    """Compile everything now, for the processes that are forked from this one."""
    compile_once()
    with TemporaryDirectory() as name:
        templates = create_app({"DATA_FILE": str(Path(name) / "none.sqlite3"), "SECRET_KEY": "for tests"}).jinja_env
        for one in templates.list_templates(extensions=["html", "txt", "js"]):
            templates.get_template(one)
