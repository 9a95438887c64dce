"""A page of the shore as its reader meets it."""

import re
from html.parser import HTMLParser
from typing import Any

from werkzeug.test import TestResponse

VOID = {"input", "meta", "link", "br", "img", "hr"}
READ = {"forms", "links", "tags", "ids", "words"}


class Page(HTMLParser):
    """A page as its reader meets it: words, fields with their values, forms, links, headings."""

    def __init__(self, response: TestResponse) -> None:
        super().__init__()
        self.status, self.headers, self.html = response.status_code, response.headers, response.text

    def __getattr__(self, name: str) -> Any:
        """Read the page when somebody first asks what stands there: of every second page, nobody does."""
        if name not in READ:
            raise AttributeError(name)
        self.forms: list[dict[str, Any]] = []
        self.links: list[str] = []
        self.tags: list[tuple[str, dict[str, str]]] = []
        self.ids: list[str] = []
        self._select: str | None = None
        self._area: str | None = None
        self._said: list[str] = []
        self._open: list[str] = []
        self.feed(self.html)
        self.words = re.sub(r"\s+", " ", " ".join(self._said))
        return getattr(self, name)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        given = {name: value or "" for name, value in attrs}
        self.tags.append((tag, given))
        if "id" in given:
            self.ids.append(given["id"])
        if tag not in VOID:
            self._open.append(tag)
        if tag == "form":
            self.forms.append({"action": given.get("action", ""), "fields": {}, "buttons": []})
        elif tag == "a" and "href" in given:
            self.links.append(given["href"])
        elif tag in {"input", "select", "textarea", "button"} and self.forms:
            self._field(tag, given)
        elif tag == "option" and self._select and "selected" in given:
            self.forms[-1]["fields"][self._select] = given.get("value", "")

    def _field(self, tag: str, given: dict[str, str]) -> None:
        fields = self.forms[-1]["fields"]
        if tag == "button":
            self.forms[-1]["buttons"].append(given)
        elif tag == "select" and "name" in given:
            self._select = given["name"]
            fields[self._select] = ""
        elif tag == "textarea":
            self._area = given["name"]
            fields[self._area] = ""
        elif given.get("type") in {"checkbox", "radio"}:
            if "checked" in given:
                fields[given["name"]] = given.get("value", "on")
        elif "name" in given:
            fields[given["name"]] = given.get("value", "")

    def handle_endtag(self, tag: str) -> None:
        while self._open and self._open.pop() != tag:
            pass
        if tag == "select":
            self._select = None
        if tag == "textarea":
            self._area = None

    def handle_data(self, data: str) -> None:
        if self._area is not None:
            self.forms[-1]["fields"][self._area] += data.removeprefix("\r\n").removeprefix("\n")
        elif not {"script", "style"} & set(self._open):
            self._said.append(data)

    def form(self, holding: str) -> dict[str, Any]:
        """Return the form that has this field, or whose action ends so."""
        for form in self.forms:
            if holding in form["fields"] or (holding.startswith("/") and form["action"].endswith(holding)):
                return form
        raise AssertionError(f"no form with {holding!r} among {[form['action'] for form in self.forms]}")

    def fault_of(self, name: str) -> str:
        """Return the words of the fault that is tied to the field of this name, "" when it has none."""
        field = next(given for _, given in self.tags if given.get("name") == name and "type" not in ("hidden",))
        ids = field.get("aria-describedby", "").split()
        fault = next((one for one in ids if one.endswith("-fault")), None)
        if fault is None:
            return ""
        assert fault in self.ids
        inside = self.html.split(f'id="{fault}"', 1)[1].split("</div>", 1)[0]
        return re.sub(r"<[^>]+>", "", inside.split(">", 1)[1]).strip()
