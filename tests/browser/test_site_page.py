"""The site page: place and emergency plan typed on the boat, without signal, and then on every other phone."""

from __future__ import annotations

import re
from collections.abc import Callable

import pytest
from playwright.sync_api import Page, expect
from support.boat import BoatPhone

SignedIn = Callable[..., BoatPhone]


def rows(phone: BoatPhone) -> list[dict[str, object]]:
    return [row["fields"] for row in phone.kept("records") if row["kind"] == "site"]


def opened(phone: BoatPhone, address: str = "/boat/site") -> Page:
    page = phone.open(address)
    expect(page.get_by_role("button", name="Save")).to_be_visible()
    return page


@pytest.mark.keeps_app
def test_a_plan_typed_without_signal_is_kept_sent_later_and_reaches_the_other_phone(signed_in_phone: SignedIn) -> None:
    phone, other = signed_in_phone(), signed_in_phone()
    phone.context.set_offline(True)
    page = phone.open("/boat/season")
    page.get_by_role("link", name="Site and emergency plan").click()
    expect(page.get_by_label("Name of the site")).to_have_value("Skarn Wall")
    for label, text in {
        "Latitude": "58 12.345 N", "Longitude": "10,500 W", "Local emergency number": "112", "Radio channel": "VHF 16",
        "Phone of the chamber": "0555 0199", "Who may give oxygen": "Ilka",
    }.items():  # fmt: skip
        page.get_by_label(label).fill(text)
    page.get_by_role("button", name="Save").click()
    expect(page.get_by_text("The site is saved here.")).to_be_visible()
    page.get_by_role("link", name="See the emergency page").click()
    expect(page.locator("#call-emergency_phone")).to_have_attribute("href", "tel:112")

    phone.context.set_offline(False)
    page.evaluate("dispatchEvent(new Event('online'))")
    phone.sent()
    page = other.open("/boat/emergency")
    expect(page.locator("#call-chamber_phone")).to_have_attribute("href", "tel:05550199")
    (site,) = rows(other)
    assert (site["latitude"], site["longitude"], site["bottom_m"]) == (58.20575, -10.5, 55)


def test_every_typing_error_is_named_beside_its_field_and_nothing_is_saved(phone: BoatPhone) -> None:
    before = rows(phone)
    page = opened(phone)
    wrong = {
        "Name of the site": " ", "Latitude": "91", "Longitude": "16 N", "Local emergency number": "112 or 113",
        "Depth of the bottom": "deep", "Water temperature": "60",
    }  # fmt: skip
    for label, text in wrong.items():
        page.get_by_label(label).fill(text)
    page.get_by_role("button", name="Save").click()
    expect(page.get_by_role("heading", name="6 things need a look")).to_be_visible()
    for name in ("name", "latitude", "longitude", "emergency_phone", "bottom_m", "temperature_c"):
        expect(page.locator(f"#{name}-fault")).not_to_be_empty()
    assert page.get_by_label("Local emergency number").input_value() == "112 or 113"
    assert rows(phone) == before


def test_an_unfinished_form_waits_as_it_was_left_and_can_be_begun_afresh(phone: BoatPhone) -> None:
    page = opened(phone)
    page.get_by_label("Meeting point").fill("north quay")
    page.get_by_label("Radio channel").fill("VHF 12")
    page.wait_for_function("""() => new Promise((resolve) => {
      const asked = indexedDB.open("lineslate");
      asked.onsuccess = () => {
        const all = asked.result.transaction(["kept"]).objectStore("kept").getAll();
        all.onsuccess = () => {
          asked.result.close();
          resolve(all.result.some((one) => one?.typed?.radio_channel === "VHF 12"));
        };
      };
    })""")
    page = opened(phone)
    expect(page.get_by_text("This form was left unfinished")).to_be_visible()
    expect(page.get_by_label("Meeting point")).to_have_value("north quay")
    page.get_by_role("button", name="Start afresh").click()
    expect(page.get_by_label("Meeting point")).to_have_value("")
    expect(page.get_by_label("Name of the site")).to_have_value("Skarn Wall")


def test_the_phones_own_position_is_filled_in_after_a_touch_and_a_refusal_is_said(phone: BoatPhone) -> None:
    page = opened(phone)
    page.get_by_role("button", name="Use this phone's position").click()
    expect(page.locator("#locate-says")).to_contain_text("does not give its position")
    expect(page.get_by_label("Longitude")).to_have_value("")


def test_a_position_that_is_anywhere_within_a_kilometre_is_asked_for_again(phone: BoatPhone) -> None:
    """The season's latitude is often of whole degrees; with a longitude beside it, it would be taken for the place."""
    page = opened(phone)
    expect(page.get_by_label("Latitude")).to_have_value("58")
    page.get_by_label("Longitude").fill("10.51234 E")
    page.get_by_role("button", name="Save").click()
    expect(page.locator("#latitude-fault")).to_contain_text("three decimals or more")
    expect(page.locator("#longitude-fault")).to_be_empty()
    page.get_by_label("Latitude").fill("58.200")
    page.get_by_role("button", name="Save").click()
    expect(page.get_by_text("The site is saved here.")).to_be_visible()


def test_a_position_of_the_phone_goes_into_both_fields_and_is_saved_as_it_stands_there(phone: BoatPhone) -> None:
    phone.context.grant_permissions(["geolocation"])
    phone.context.set_geolocation({"latitude": -58.2, "longitude": 10.123456, "accuracy": 8})
    page = opened(phone)
    page.get_by_role("button", name="Use this phone's position").click()
    expect(page.get_by_label("Latitude")).to_have_value("58.20000 S")
    expect(page.get_by_label("Longitude")).to_have_value("10.12346 E")
    page.get_by_role("button", name="Save").click()
    expect(page.get_by_text("The site is saved here.")).to_be_visible()
    (site,) = rows(phone)
    assert (site["latitude"], site["longitude"]) == (-58.2, 10.12346)


def test_a_second_site_is_made_on_the_phone_and_refused_ones_come_back_with_the_reason(phone: BoatPhone) -> None:
    page = opened(phone)
    page.get_by_role("link", name="A new site").click()
    expect(page.get_by_role("heading", level=1)).to_have_text("A new site")
    page.get_by_label("Name of the site").fill("Odd Lake")
    page.get_by_role("button", name="Save").click()
    expect(page.get_by_text("The season has another site: choose this one there, on shore.")).to_be_visible()
    phone.sent()
    assert sorted(str(site["name"]) for site in rows(phone)) == ["Odd Lake", "Skarn Wall"]

    page.evaluate("""async () => {
      const { save } = await import("/static/js/store/outbox.js");
      return save({ kind: "site", fields: { name: "Odd Reef", salinity: 99 }, user: 1 });
    }""")
    phone.says("needs a look")
    page = phone.open("/boat/log")
    entry = page.locator("#log li", has_text="Dive site, Odd Reef")
    expect(entry).to_contain_text("Salinity")
    entry.get_by_role("link", name="Edit").click()
    expect(page.locator("#salinity-fault")).to_contain_text("42")
    page.get_by_label("Salinity").fill("38")
    page.get_by_role("button", name="Save").click()
    phone.sent()
    assert "Odd Reef" in {site["name"] for site in rows(phone)}


def test_a_site_is_no_entry_of_the_log_and_not_taken_for_a_damaged_one(phone: BoatPhone) -> None:
    page = phone.open("/boat/log")
    expect(page.locator("#log h2")).to_have_text(re.compile(r"^\d+ records$"))
    expect(page.locator("#log")).not_to_contain_text("cannot be read any more")
    expect(page.locator("#log")).not_to_contain_text("No date")
    expect(page.locator("#log")).not_to_contain_text("Skarn Wall")
