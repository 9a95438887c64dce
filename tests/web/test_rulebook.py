"""The rulebook on shore: every number with its meaning and source, and a season's own values."""

import html

from webapp.rulebook_file import read_rulebook
from webapp.water.constants import CONSTANTS

BOOK = read_rulebook()


def test_every_number_shows_its_meaning_and_source_even_to_a_stranger(stranger) -> None:
    page = stranger.get("/rulebook/")

    for entry in BOOK.entries:
        assert entry.meaning.split("'")[0] in page.html.replace("&#39;", "'"), entry.name
        assert entry.source.split("'")[0] in page.html.replace("&#39;", "'"), entry.name
    assert not page.forms or "csrf_token" not in page.forms[-1]["fields"]


def test_every_number_has_a_field_for_the_seasons_own_value(planner_of_may) -> None:
    fields = planner_of_may.get("/rulebook/").form("csrf_token")["fields"]

    for entry in BOOK.entries:
        assert (f"rule:{entry.name}" in fields) != bool(entry.columns), entry.name
        assert (f"rule:{entry.name}:0:{next(iter(entry.columns or {}), '')}" in fields) == bool(entry.columns)


def test_an_own_value_changes_the_plan_of_the_season(planner_of_may) -> None:
    page = planner_of_may.fill("/rulebook/", {"rule:warm_up.dives": "2", "rule:warm_up.depth_m": "10,5"})

    assert "The rules of this season are saved" in page.words
    assert "FIM warm-up 10.5 m" in planner_of_may.get("/seasons/1/plan").words


def test_out_of_bounds_is_told_beside_the_number_and_kept_as_typed_with_all_else(planner_of_may) -> None:
    page = planner_of_may.fill(
        "/rulebook/", {"rule:blackout.stand_down_days": "1", "rule:resume.share": "0.9", "rule:warm_up.dives": "1"}
    )
    fields = page.form("csrf_token")["fields"]

    assert page.status == 400
    assert "2 things need a look" in page.words
    assert page.fault_of("rule:blackout.stand_down_days")
    assert page.fault_of("rule:resume.share")
    assert [fields[f"rule:{name}"] for name in ("blackout.stand_down_days", "resume.share", "warm_up.dives")] == [
        "1",
        "0.9",
        "1",
    ]
    assert planner_of_may.get("/rulebook/").form("csrf_token")["fields"]["rule:warm_up.dives"] == ""


def test_cells_that_no_page_has_change_nothing(planner_of_may) -> None:
    odd = {"rule:spacing:²:to_m": "5", "rule:spacing:" + "9" * 5000 + ":to_m": "5", "rule:spacing:-1:to_m": "5"}
    page = planner_of_may.fill("/rulebook/", {**odd, "rule:warm_up.dives": "1"}, holding="csrf_token")

    assert "The rules of this season are saved" in page.words
    assert planner_of_may.get("/rulebook/").form("csrf_token")["fields"]["rule:warm_up.dives"] == "1"


def test_back_to_the_books_value_leaves_the_other_own_values(planner_of_may) -> None:
    planner_of_may.fill("/rulebook/", {"rule:warm_up.dives": "1", "rule:ladder.lowest_m": "8"})
    page = planner_of_may.fill("/rulebook/", {"back": "warm_up.dives"}, holding="csrf_token")
    fields = page.form("csrf_token")["fields"]

    assert [fields["rule:warm_up.dives"], fields["rule:ladder.lowest_m"]] == ["", "8"]


def test_a_table_as_in_the_book_is_no_own_table(planner_of_may) -> None:
    page = planner_of_may.fill("/rulebook/", {"rule:warm_up.dives": "1"})

    assert "Own table" not in page.words


def test_a_row_typed_into_a_table_takes_its_place_by_depth(planner_of_may) -> None:
    fields = planner_of_may.get("/rulebook/").form("csrf_token")["fields"]
    rows = [name for name in fields if name.startswith("rule:spacing:") and name.endswith(":to_m")]
    spare = f"rule:spacing:{len(BOOK.value('spacing'))}"
    typed = {f"{spare}:to_m": "30", f"{spare}:min_days": "1", f"{spare}:max_in_a_row": "4"}
    page = planner_of_may.fill("/rulebook/", typed)
    after = page.form("csrf_token")["fields"]

    assert len(BOOK.value("spacing")) + 2 == len(rows)
    assert page.status == 200
    assert "Own table" in page.words
    assert [after[f"rule:spacing:{row}:to_m"] for row in range(5)] == ["30", "50", "75", "90", ""]


def test_a_stricter_table_thins_the_plan(planner_of_may) -> None:
    before = planner_of_may.get("/seasons/1/plan").html.count('data-kind="deep"')
    planner_of_may.fill("/rulebook/", {"rule:spacing:0:min_days": "3", "rule:spacing:0:max_in_a_row": "1"})

    assert before > planner_of_may.get("/seasons/1/plan").html.count('data-kind="deep"')


def test_a_fault_in_a_table_is_told_in_the_row_where_it_was_typed(planner_of_may) -> None:
    spare = f"rule:spacing:{len(BOOK.value('spacing'))}"
    page = planner_of_may.fill("/rulebook/", {f"{spare}:to_m": "30", f"{spare}:min_days": "x"})

    assert page.status == 400
    assert page.fault_of(f"{spare}:min_days")
    assert not page.fault_of("rule:spacing:0:min_days")
    assert page.form("csrf_token")["fields"][f"{spare}:min_days"] == "x"


def test_an_emptied_table_goes_back_to_the_book(planner_of_may) -> None:
    planner_of_may.fill("/rulebook/", {"rule:spacing:0:min_days": "3", "rule:spacing:0:max_in_a_row": "1"})
    page = planner_of_may.fill("/rulebook/", {"back": "spacing"}, holding="csrf_token")

    assert "Own table" not in page.words
    assert page.form("csrf_token")["fields"]["rule:spacing:0:min_days"] == "1"


def test_the_page_says_that_common_practice_is_not_proof(stranger) -> None:
    assert "without a published source" in stranger.get("/rulebook/").words


def test_the_physics_constants_stand_below_with_unit_meaning_source_and_mark(stranger) -> None:
    page = stranger.get("/rulebook/")
    below = page.html.split('id="physics"')[1]
    words = html.unescape(below)

    for one in CONSTANTS:
        for part in (one.meaning, one.source, one.unit):
            assert part in words, one.name
    assert words.count("Seen.</b>") + words.count("Memory.</b>") + words.count("Definition.</b>") == len(CONSTANTS)
    assert "<input" not in below


def test_the_parts_are_called_as_a_diver_would_look_for_them(stranger) -> None:
    page = stranger.get("/rulebook/")

    for words in ("LMC", "Surface interval", "Safety diver", "Spacing of deep dives", "Possible injury", "Warm-up"):
        assert f">{words}</a>" in page.html
    assert "Lmc" not in page.html
