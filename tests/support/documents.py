"""Rewrites the generated tables of DEVELOPERS.md: `python tests/support/documents.py`."""

from __future__ import annotations

import re
import sys
from pathlib import Path

ROOT = Path(__file__).parents[2]
sys.path[:0] = [str(ROOT), str(ROOT / "tests")]


def main() -> None:
    """Put the module list and the settings into DEVELOPERS.md, between their markers and the next heading."""
    import ast

    from test_documents import first_sentence, tracked

    from webapp.web.config import PREFIX, SETTINGS

    files = ["| file | what it is |", "|---|---|"]
    for name in sorted(tracked("webapp")):
        if name.endswith(".py"):
            said = ast.get_docstring(ast.parse((ROOT / name).read_text(encoding="utf-8"))) or ""
            files.append(f"| `{name.removeprefix('webapp/')}` | {first_sentence(said)} |")
    settings = ["| setting | default | what it does |", "|---|---|---|"]
    settings += [f"| `{PREFIX}{one.name}` | `{one.default!r}` | {one.help} |" for one in SETTINGS]
    path = ROOT / "DEVELOPERS.md"
    text = path.read_text(encoding="utf-8")
    for mark, lines in (("files", files), ("settings", settings)):
        table = "\n".join(lines)
        text = re.sub(rf"<!-- {mark} -->\n.*?(?=\n## )", f"<!-- {mark} -->\n\n{table}\n", text, flags=re.S)
    path.write_text(text, encoding="utf-8")


if __name__ == "__main__":
    main()
