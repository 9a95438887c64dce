"""Seasons on shore: set up without script, previewed, changed, several of them, deleted and back."""

import re
from cProfile import Profile
from datetime import UTC, date, datetime, timedelta
from pstats import Stats

import pytest
from support.phones import DIVE, Phone
from support.typed import SEASON

from webapp.actions import seasons, sync


def test_a_season_typed_into_the_form_becomes_a_dated_plan(diver) -> None:
    page = diver.set_up()

    assert "May at Holm is saved" in page.words
    assert "FIM deep dive 38 m" in page.words
    assert page.html.count("<tr data-kind=") == 28
    assert re.search(r'data-kind="closed">\s*<th scope="row" class="day"><time datetime="2027-05-12"', page.html)


def test_the_first_season_is_active_and_a_second_one_only_when_asked(planner_of_may) -> None:
    planner_of_may.set_up(name="Autumn")
    before = planner_of_may.get("/seasons/")
    after = planner_of_may.press("/seasons/", "/seasons/2/activate")

    assert before.words.index("May at Holm") < before.words.index("Autumn")
    assert after.words.index("Autumn") < after.words.index("May at Holm")
    assert after.html.count("card-mark") == 1


def test_a_season_saved_beside_an_active_one_says_so_and_offers_to_become_active(planner_of_may) -> None:
    page = planner_of_may.set_up(name="Autumn")
    assert "Autumn is saved, but it is not active" in page.words
    assert "The phone takes it over" not in page.words
    planner_of_may.press("/seasons/2/plan", "/seasons/2/activate")
    assert "Make active" not in planner_of_may.get("/seasons/2/plan").words
    assert "Make active" in planner_of_may.get("/seasons/1/plan").words


def test_the_next_season_is_active_at_once_when_the_last_one_is_over(planner_of_may, app) -> None:
    app.config["NOW"] = lambda: datetime(2027, 6, 20, 8, tzinfo=UTC)
    page = planner_of_may.set_up(name="Autumn")
    assert "Autumn is saved. The phone takes it over when it next syncs." in page.words
    assert "Make active" not in page.words
    assert "not active" not in page.words
    assert "Make active" in planner_of_may.get("/seasons/1/plan").words


def test_what_was_saved_comes_back_into_the_form_as_typed(planner_of_may) -> None:
    fields = planner_of_may.get("/seasons/1").form("name")["fields"]

    assert fields["FIM-comfortable_m"] == "38.5"
    assert fields["closed_days"].replace("\r", "") == "2027-05-12\n2027-05-13"
    names = ("blocks-0-main", "FIM-dived", "blocks-1-main", "blocks-1-drills-0-discipline", "blocks-1-drills-0-depth_m")
    assert [fields[name] for name in names] == ["FIM", "y", "FIM", "CNF", "16"]
    assert "CWT-dived" not in fields


def test_saving_an_untouched_form_changes_nothing(planner_of_may) -> None:
    before = planner_of_may.get("/seasons/1/plan").html.split("<main")[1]
    planner_of_may.fill("/seasons/1", {"do": "save"}, holding="name")

    assert before == planner_of_may.get("/seasons/1/plan").html.split("<main")[1]


@pytest.mark.parametrize(
    ("field", "text"),
    [
        ("first_day", ""),
        ("last_day", "2027-02-30"),
        ("blocks-0-first_day", ""),
        ("blocks-0-first_day", "2027-05-02"),
        ("blocks-0-last_day", "2027-04-30"),
        ("blocks-1-first_day", "2027-05-16"),
        ("blocks-1-last_day", "2027-05-31"),
        ("blocks-0-main", "CWT"),
        ("blocks-0-days_on", "two"),
        ("blocks-1-days_off", "-1"),
        ("blocks-1-drills-0-discipline", ""),
        ("blocks-1-drills-0-depth_m", ""),
        ("blocks-1-drills-0-dives", "5"),
        ("blocks-0-drills-0-focus", "x" * 201),
        ("closed_days", "2027-05-12 soon"),
        ("bottom_m", ""),
        ("latitude", "north"),
        ("temperature_c", "400"),
        ("FIM-best_m", "4o"),
        ("FIM-comfortable_m", "45"),
        ("FIM-comfortable_on", ""),
        ("FIM-start_m", "deep"),
        ("FIM-step_m", "0"),
        ("FIM-repeats", "1,5"),
        ("FIM-repeats_below_best", "0"),
        ("FIM-floor_m", "999"),
        ("FIM-aim_m", "43"),
        ("FIM-dream_m", "x"),
        ("name", "  "),
    ],
)
def test_a_bad_value_is_named_beside_its_field_and_at_the_top_and_stays_as_typed(diver, field: str, text: str) -> None:
    page = diver.set_up(**{field: text})
    target = re.search(r'<a href="#([^"]+)">', page.html.split('id="faults"')[1].split("</section>")[0])

    assert page.status == 400
    assert page.fault_of(field)
    assert target is not None
    assert any(given.get("id") == target[1] and given.get("name") == field for _, given in page.tags)
    assert text.strip() == page.form("name")["fields"][field].strip()
    assert "May at Holm" not in diver.get("/seasons/").words


def test_all_faults_are_told_at_once(diver) -> None:
    page = diver.set_up(**{"first_day": "", "bottom_m": "shallow", "FIM-best_m": "", "blocks-0-drills-0-dives": "0"})

    assert "4 things need a look" in page.words
    assert all(page.fault_of(name) for name in ("first_day", "bottom_m", "FIM-best_m", "blocks-0-drills-0-dives"))


def test_the_same_fault_in_two_disciplines_says_which_one(diver) -> None:
    both = {"CWT-dived": "y", "CWT-best_m": "x", "CWT-start_m": "30", "FIM-best_m": "y"}
    page = diver.set_up(**both)

    assert "FIM: Best must be" in page.words
    assert "CWT: Best must be" in page.words


def test_a_discipline_with_a_best_but_no_tick_is_not_dropped_in_silence(diver) -> None:
    page = diver.set_up(**{"CWT-best_m": "50"})

    assert page.status == 400
    assert "tick" in page.fault_of("CWT-dived")
    assert page.form("name")["fields"]["CWT-best_m"] == "50"


def test_several_disciplines_lead_their_own_blocks(diver) -> None:
    typed = {"CWT-dived": "y", "CWT-best_m": "50", "CWT-start_m": "40", "blocks-1-main": "CWT"}
    page = diver.set_up(**typed)

    assert page.words.index("FIM deep dive") < page.words.index("CWT deep dive 40 m")


def test_a_block_without_a_main_discipline_goes_on_with_the_one_above_and_empty_rows_do_not_count(diver) -> None:
    typed = {"CWT-dived": "y", "CWT-best_m": "50", "CWT-start_m": "40", "blocks-0-main": "CWT"}
    rows = {f"blocks-3-{name.removeprefix('blocks-1-')}": SEASON[name] for name in SEASON if "blocks-1" in name}
    page = diver.set_up(**typed, **dict.fromkeys([name for name in SEASON if "blocks-1" in name], ""), **rows)
    fields = diver.get("/seasons/1").form("name")["fields"]

    assert page.status == 200
    assert [fields[f"blocks-{row}-main"] for row in range(4)] == ["CWT", "CWT", "", ""]
    assert [fields[f"blocks-{row}-first_day"] for row in range(4)] == ["2027-05-03", "2027-05-21", "", ""]
    assert "blocks-4-main" not in fields


def test_a_drill_may_be_a_share_of_the_comfortable_depth_typed_in_percent_and_say_its_focus(diver) -> None:
    drill = {"discipline": "FIM", "percent": "50", "dives": "1", "focus": "long glide"}
    page = diver.set_up(**{f"blocks-0-drills-1-{name}": text for name, text in drill.items()})
    fields = diver.get("/seasons/1").form("name")["fields"]

    assert "FIM drill 19 m : long glide" in page.words
    assert {name: fields[f"blocks-0-drills-1-{name}"] for name in drill} == drill
    assert [name for name in fields if "blocks-0-drills-2" in name]
    assert not [name for name in fields if "blocks-0-drills-3" in name]


def test_a_fault_of_a_share_is_told_in_percent_with_block_and_drill(diver) -> None:
    page = diver.set_up(**{"blocks-0-drills-1-discipline": "FIM", "blocks-0-drills-1-percent": "90"})

    assert "Block 1, drill 2: Share must be a number of percent from 20 to 80." in page.words


def test_a_season_without_blocks_is_told_so_once_and_in_words(diver) -> None:
    page = diver.set_up(**dict.fromkeys([name for name in SEASON if name.startswith("blocks")], ""))

    assert "One thing needs a look" in page.words
    assert "Blocks need at least one" in page.words


OLD = {
    "days_on": 3, "days_off": 1, "block_days": 10, "break_days": 4, "lead": ["FIM", "CWT"],
    "drill": {"discipline": "CNF", "depth_m": 16, "dives": 6},
}  # fmt: skip


def test_a_season_with_the_older_fields_is_shown_as_its_blocks_and_saved_with_them(planner_of_may, app) -> None:
    with app.app_context():
        raw = {name: part for name, part in seasons.get_season(1, 1).raw.items() if name != "blocks"}
        cwt = {"discipline": "CWT", "best_m": 50, "start_m": 40}
        raw["disciplines"] = [*raw["disciplines"], cwt]
        seasons.save_season(1, 1, "Old", {**raw, **OLD}, app.config["NOW"]())
    before = planner_of_may.get("/seasons/1/plan").html.split('id="goals-head"')[1].split("Change the season")[0]
    shown = planner_of_may.get("/seasons/1").form("name")["fields"]
    planner_of_may.fill("/seasons/1", {"do": "save"}, holding="name")
    after = planner_of_may.get("/seasons/1/plan").html.split('id="goals-head"')[1].split("Change the season")[0]
    with app.app_context():
        raw = seasons.get_season(1, 1).raw

    assert before == after
    assert [shown[f"blocks-{row}-{name}"] for row in (0, 1) for name in ("first_day", "last_day", "main")] == [
        "2027-05-03", "2027-05-12", "FIM", "2027-05-17", "2027-05-26", "CWT",
    ]  # fmt: skip
    assert [shown[f"blocks-0-drills-{row}-dives"] for row in range(3)] == ["4", "2", ""]
    assert len(raw["blocks"]) == 2
    assert not set(OLD) & set(raw)


def test_a_season_that_names_one_number_of_clean_dives_is_shown_with_it_at_both_speeds(planner_of_may, app) -> None:
    with app.app_context():
        raw = seasons.get_season(1, 1).raw
        levels = [{**level, "repeats": 2, "repeats_below_best": None} for level in raw["disciplines"]]
        seasons.save_season(1, 1, "Old", {**raw, "disciplines": levels}, app.config["NOW"]())
    fields = planner_of_may.get("/seasons/1").form("name")["fields"]

    assert (fields["FIM-repeats_below_best"], fields["FIM-repeats"]) == ("2", "2")


def test_a_season_with_as_many_blocks_and_drills_as_there_may_be_can_be_previewed_by_the_pages_script(diver) -> None:
    fields = {name: text for name, text in SEASON.items() if not name.startswith("blocks")}
    fields |= {"first_day": "2027-05-01", "last_day": "2027-06-29"}
    for row in range(60):
        day = str(date(2027, 5, 1) + timedelta(days=row))
        block = {"first_day": day, "last_day": day, "main": "FIM", "days_on": "1", "days_off": "0"}
        fields |= {f"blocks-{row}-{name}": text for name, text in block.items()}
        drill = {"discipline": "CNF", "depth_m": "16", "percent": "", "dives": "1", "focus": ""}
        fields |= {f"blocks-{row}-drills-{at}-{name}": text for at in range(4) for name, text in drill.items()}
    token = diver.get("/seasons/new/all").form("name")["fields"]["csrf_token"]
    typed = {**fields, "csrf_token": token, "do": "preview"}
    page = diver.post("/seasons/new/all", typed, content_type="multipart/form-data")

    assert page.status == 200, page.words
    assert page.html.count('data-kind="deep"') > 10


def test_preview_shows_the_plan_and_saves_nothing(diver) -> None:
    page = diver.set_up(do="preview")

    assert page.status == 200
    assert "Not saved yet" in page.words
    assert "FIM deep dive 38 m" in page.words
    assert page.form("name")["fields"]["FIM-comfortable_m"] == "38,5"
    assert "No season yet" in diver.get("/seasons/").words


def test_without_script_the_plan_is_led_to_and_faults_of_a_preview_too(diver) -> None:
    page = diver.set_up(do="preview", bottom_m="x")
    button = next(given for given in page.form("name")["buttons"] if given.get("value") == "preview")

    assert button["formaction"] == "/seasons/new/all#preview"
    assert page.links.count("#bottom_m") == 2  # at the top and where the plan would stand
    assert page.html.index("<title>Needs a look") > 0


def test_preview_does_not_need_a_name_yet(diver) -> None:
    assert diver.set_up(do="preview", name="").status == 200


def test_the_pages_script_gets_the_preview_alone_from_the_same_address(diver) -> None:
    form = {**diver.get("/seasons/new/all").form("name")["fields"]}
    page = diver.post("/seasons/new/all", {**form, "do": "preview"}, headers={"X-Fragment": "plan"})

    assert page.headers["X-Fragment"] == "plan"
    assert "<html" not in page.html
    assert "No plan yet" in page.words


def test_a_deleted_season_can_be_brought_back_at_once(planner_of_may) -> None:
    gone = planner_of_may.press("/seasons/", "/seasons/1/delete")
    back = planner_of_may.send(gone, "", {}, holding="/seasons/1/restore")

    assert "No season yet" in gone.words
    assert "The season is back" in back.words
    assert "May at Holm" in back.words
    assert back.html.count("card-mark") == 1


def test_changing_a_season_keeps_its_own_rules(planner_of_may) -> None:
    planner_of_may.fill("/rulebook/", {"rule:warm_up.dives": "1"})
    planner_of_may.fill("/seasons/1", {"name": "May again", "do": "save"})

    assert planner_of_may.get("/rulebook/").form("rule:warm_up.dives")["fields"]["rule:warm_up.dives"] == "1"
    assert "warm-up" in planner_of_may.get("/seasons/1/plan").words


def test_markup_in_a_name_stays_text(diver) -> None:
    page = diver.set_up(name="<script>alert(1)</script>", site_name='"><img src=x>')

    assert "<script>alert(1)" not in page.html + diver.get("/seasons/").html
    assert "<img" not in diver.get("/seasons/1").html


def test_the_set_up_says_what_a_plan_is_not_before_depths_are_typed(diver) -> None:
    page = diver.get("/seasons/new/all")

    assert "A plan is not permission to dive" in page.words
    assert page.html.index("Never dive alone") < page.html.index('name="FIM-best_m"')


def test_saving_after_a_preview_leads_to_the_top_where_the_faults_are(planner_of_may) -> None:
    assert 'action="/seasons/new/all#main"' in planner_of_may.get("/seasons/new/all").html


def test_closed_days_come_back_as_ranges(diver) -> None:
    page = diver.set_up(closed_days="2027-05-12 to 2027-05-14")

    assert page.html.count('<tr data-kind="closed"') == 3
    assert diver.get("/seasons/1").form("name")["fields"]["closed_days"] == "2027-05-12 to 2027-05-14"


def test_a_season_without_a_discipline_is_told_so_once_and_in_words(diver) -> None:
    page = diver.set_up(**{"FIM-dived": "", "FIM-best_m": "", "blocks-0-main": ""})

    assert "One thing needs a look" in page.words
    assert "Disciplines need at least one: open it and tick it." in page.words


def test_a_day_gone_by_shows_what_was_dived_and_never_what_was_only_planned(planner_of_may, clock) -> None:
    phone = Phone()
    phone.put(fields={**DIVE, "date": "2027-05-06", "reached_m": 30})
    phone.put(
        fields={**DIVE, "date": "2027-05-06", "role": "warm-up", "target_m": None, "reached_m": 15, "at": "08:00"}
    )
    phone.take(sync.sync(1, phone.request(today="2027-05-10"), clock()))
    html = planner_of_may.get("/seasons/1/plan").html
    rows = dict(re.findall(r'<time datetime="([\d-]+)".*?<td>(.*?)</td>', html, re.S))
    words = {day: " ".join(re.sub("<[^>]+>", " ", row).split()) for day, row in rows.items()}

    assert words["2027-05-03"] == "Nothing logged"
    assert "FIM warm-up 15 m clean FIM deep dive 38 m , reached 30 m turned early" in words["2027-05-06"]
    assert "drill" not in words["2027-05-06"]
    assert "CNF drill" in words["2027-05-10"]  # today


def test_without_a_clearance_the_plan_gives_one_reason_and_no_forecast(planner_of_may, clock) -> None:
    phone = Phone()
    phone.put(fields={**DIVE, "date": "2027-05-06", "signs": ["blood"]})
    phone.take(sync.sync(1, phone.request(today="2027-05-10"), clock()))
    page = planner_of_may.get("/seasons/1/plan")

    assert "No dive is planned until a doctor's clearance is recorded." in page.words
    assert "reaches" not in page.words
    assert page.html.split("<tbody>")[1].count("clearance is recorded, and not before") == 1
    assert page.html.count(">No diving</p>") > 3


def test_a_season_is_checked_and_compiled_once_when_it_is_saved_and_not_again_for_the_page_after(diver) -> None:
    saved = calls_of(lambda: diver.set_up(follow=False, site_name="A rock that no other test compiles"))
    shown = calls_of(lambda: diver.get("/seasons/1/plan"))

    assert saved == {"season_and_book": 1, "compile_sheet": 1, "read": 0}
    assert shown == {"season_and_book": 0, "compile_sheet": 0, "read": 1}


def calls_of(work) -> dict[str, int]:
    """Let something be done and return how often the check, the compiler and the reader ran."""
    profile = Profile()
    profile.runcall(work)
    found = dict.fromkeys(("season_and_book", "compile_sheet", "read"), 0)
    for (file, _, name), (_, calls, *_) in Stats(profile).stats.items():
        if name in found and "webapp" in file and "forms" not in file:
            found[name] += calls
    return found
