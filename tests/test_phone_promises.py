"""No promise of the phone's storage or of its sending is left to itself: what fails there has to reach somebody."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

import pytest

JS = Path(__file__).parents[1] / "static" / "js"
ROOMS = ("store", "sync")
TEXTS = re.compile(r"""/\*[\s\S]*?\*/|//[^\n]*|"(?:\\.|[^"\\\n])*\"""")
FUNCTION = re.compile(r"^(?:export )?(async )?function (\w+)\(.*?^\}$", re.M | re.S)
ARROW = re.compile(r"^ *(?:export )?const (\w+) = (async )?(?:\([^()]*\)|\w+) => (.*)", re.M)
IMPORT = re.compile(r'^import \{([^}]*)\} from "([^"]+)";', re.M)
JOINED = re.compile(r"\bPromise\.(?:all|allSettled|race|any)\(\[?$")
WAITED = re.compile(r"\b(?:await|return)$")
CHOICE = re.compile(r"(?:[?:(]|&&|\|\|)$")
DECIDED = re.compile(r"(\breturn|=>)[^;{}]*$")  # what stands before a choice decides: `return one ? save() : null`
PASSED = re.compile(r"(?:\breturn|[\w$\])]\(|,)$")
DROPPED = re.compile(r"\b(?:addEventListener|setTimeout|setInterval|forEach|hear|everySecond)\($")  # nobody waits there

Code = dict[str, str]  # the text of each file by its name below static/js


def code() -> Code:
    return {path.relative_to(JS).as_posix(): path.read_text(encoding="utf-8") for path in sorted(JS.rglob("*.js"))}


def bare(text: str) -> str:
    """The text with blanks for its comments and for what stands in quotes: every place keeps its number."""
    return TEXTS.sub(lambda found: re.sub(r"[^\n]", " ", found[0]), text)


def imported(name: str, text: str) -> dict[str, tuple[str, str]]:
    """The names that a file imports: its own word for each, to the file and the word there."""
    found = {}
    for words, address in IMPORT.findall(text):
        file = (JS / name).parent.joinpath(address).resolve().relative_to(JS).as_posix()
        for word in filter(None, map(str.strip, words.split(","))):
            there, _, here = word.partition(" as ")
            found[here or there] = (file, there)
    return found


def promising(files: Code) -> set[tuple[str, str]]:
    """What of the two rooms gives a promise, as (file, name): what is async, and what passes a promise on."""
    rooms = {name: text for name, text in files.items() if name.partition("/")[0] in ROOMS}
    known: set[tuple[str, str]] = set()
    while True:
        found = {(name, made) for name, text in rooms.items() for made in promises_of(name, text, known)}
        if found <= known:
            return known
        known |= found


def promises_of(name: str, text: str, known: set[tuple[str, str]]) -> Iterator[str]:
    passed = "|".join([*names_in(name, text, known), "new Promise"])
    hidden = bare(text)
    for found in FUNCTION.finditer(hidden):
        if found[1] or re.search(rf"\breturn (?:{passed})\(|\bnew Promise\(", found[0]):
            yield found[2]
    for made, is_async, body in ARROW.findall(hidden):
        if is_async or re.match(rf"(?:{passed})\(", body):
            yield made


def names_in(name: str, text: str, known: set[tuple[str, str]]) -> list[str]:
    """The names by which a file can call what gives a promise."""
    own = [made for file, made in known if file == name]
    return own + [here for here, there in imported(name, text).items() if there in known]


def left_alone(files: Code) -> list[str]:
    """Every call whose promise nobody waits for, as `file:line: text`."""
    known = promising(files)
    found = []
    for name, text in files.items():
        hidden = bare(text)
        for called in names_in(name, text, known):
            for call in re.finditer(rf"(?<![\w.$]){called}\(", hidden):
                line = text.count("\n", 0, call.start())
                if not declares(hidden, call.start()) and not is_kept(hidden, text, call.start(), call.end() - 1):
                    found.append(f"{name}:{line + 1}: {text.splitlines()[line].strip()}")
    return found


def declares(hidden: str, start: int) -> bool:
    return hidden[:start].endswith("function ")


def is_kept(hidden: str, text: str, start: int, opened: int) -> bool:
    """Whether somebody gets the promise of the call that starts here and whose arguments open there."""
    if is_caught(hidden, closing(hidden, opened)):
        return True
    before = hidden[:start].rstrip()
    if before.endswith("void"):
        return "//" in text[start:].partition("\n")[0]  # with its reason
    if before.endswith("=>"):
        return is_expected(hidden, before.removesuffix("=>").rstrip())
    if joined := JOINED.search(hidden[: opening(hidden, start) + 1]):
        return is_kept(hidden, text, joined.start(), hidden.index("(", joined.start()))
    if CHOICE.search(before) and (head := DECIDED.search(before)):
        return head[1] == "return" or is_expected(hidden, before[: head.start()].rstrip())
    return bool(WAITED.search(before))


def is_caught(hidden: str, end: int) -> bool:
    """Whether the chain that goes on here has a word for what fails."""
    while chained := re.match(r"\s*\.(then|catch|finally)\(", hidden[end:]):
        if chained[1] == "catch":
            return True
        end = closing(hidden, end + chained.end() - 1)
    return False


def is_expected(hidden: str, before: str) -> bool:
    """Whether an arrow function whose parameters end here goes where its promise is waited for."""
    start = opening(before, len(before) - 1) if before.endswith(")") else len(re.sub(r"\w+$", "", before))
    before = hidden[:start].rstrip().removesuffix("async").rstrip()
    if re.search(r"\bconst \w+ =$", before):
        return True  # it has a name: its own calls are looked at
    outer = hidden[: opening(hidden, start) + 1]
    if outer.endswith(".map("):
        return bool(re.search(r"\bPromise\.\w+\([^;{}]*$", outer))
    return bool(PASSED.search(before)) and not DROPPED.search(outer)


def closing(hidden: str, opened: int) -> int:
    """The place after the bracket that closes the one opened here."""
    depth = 0
    for at in range(opened, len(hidden)):
        depth += (hidden[at] in "([{") - (hidden[at] in ")]}")
        if depth == 0:
            return at + 1
    raise AssertionError(hidden[opened : opened + 60])


def opening(hidden: str, inside: int) -> int:
    """The place of the bracket that is open here."""
    depth = 0
    for at in range(inside - 1, -1, -1):
        depth += (hidden[at] in ")]}") - (hidden[at] in "([{")
        if depth < 0:
            return at
    return -1


def test_nobody_leaves_a_promise_of_the_store_or_of_sync_alone() -> None:
    assert left_alone(code()) == []


# what is planted: the file, the text that waits, the same without
FAULTS = (
    ("parts/clearance.js", "await save(", "save("),
    ("pages/dive.js", "await save(", "save("),
    ("pages/dive.js", "await readSlate(", "readSlate("),
    ("pages/dive.js", "await writeRelaxed(", "writeRelaxed("),
    ("pages/dive.js", ".catch((error) => console.error(error))", ""),
    ("pages/share.js", "await keep(", "keep("),
    ("store/outbox.js", "await write(", "write("),
    ("store/outbox.js", "return change(", "change("),
    ("sync/exchange.js", "await parkDamaged(", "parkDamaged("),
    ("sync/exchange.js", "return write(", "write("),
    ("sync/sync.js", "await setKept(", "setKept("),
    ("sync/sync.js", "void sendNow(", "sendNow("),
)


@pytest.mark.parametrize(("name", "right", "wrong"), FAULTS)
def test_a_promise_that_is_let_go_is_found(name: str, right: str, wrong: str) -> None:
    files = code()
    assert right in files[name]
    files[name] = files[name].replace(right, wrong, 1)
    assert {found.partition(":")[0] for found in left_alone(files)} == {name}


@pytest.mark.parametrize(
    ("line", "is_left"),
    [
        ("await save(edit);", False),
        ("const record = (await save(edit)).trim();", False),
        ("const record = save(edit);", True),
        ("save(edit);", True),
        ('say("await", save(edit));', True),
        ("if (edit) save(edit);", True),
        ("return save(edit);", False),
        ("return edit ? save(edit) : null;", False),
        ("edit && save(edit);", True),
        ("save(edit).catch(warn);", False),
        ("save(edit).then((record) => show(record)).catch(warn);", False),
        ("save(edit).then(show);", True),
        ("await save(edit).then(show);", False),
        ("await Promise.all([save(one), save(other)]);", False),
        ("Promise.all([save(one)]);", True),
        ("await Promise.all(edits.map((edit) => save(edit)));", False),
        ("edits.map((edit) => save(edit));", True),
        ("edits.forEach((edit) => save(edit));", True),
        ("await within((edit) => save(edit));", False),
        ('h("button", { click: () => save(edit) });', True),
        ('addEventListener("online", () => edit && save(edit));', True),
        ("void save(edit);", True),
        ("void save(edit); // it tells what fails by itself", False),
        ("// save(edit);", False),
        ("element.save(edit);", False),
    ],
)
def test_what_counts_as_waiting(line: str, is_left: bool) -> None:
    page = f'import {{ save }} from "../store/outbox.js";\n\nasync function touched(edit) {{\n  {line}\n}}\n'
    files = {"store/outbox.js": "export async function save(edit) {\n}\n", "pages/one.js": page}
    assert bool(left_alone(files)) == is_left
