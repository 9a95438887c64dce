"""What people call the codes in records and plans; the phone gets the same words with its pages."""

from __future__ import annotations

DISCIPLINES = {
    "CWT": "constant weight",
    "CWTB": "constant weight, two fins",
    "CNF": "no fins",
    "FIM": "free immersion",
    "VWT": "variable weight",
}
ROLES = {"warm-up": "warm-up", "deep": "deep dive", "drill": "drill"}
GOALS = {"floor_m": "floor", "aim_m": "aim", "dream_m": "dream"}
DAYS = {
    "deep": "Deep day",
    "easy": "Easy day",
    "rest": "Rest day",
    "break": "Break",
    "closed": "Closed day",
    "stand-down": "No diving",
    "off": "Day off",
}
VERDICTS = {
    "clean": "clean",
    "hard": "hard",
    "turned": "turned early",
    "sore": "mild injury",
    "lmc": "LMC",
    "hurt": "possible injury",
    "blackout": "blackout",
}
PARTS = {  # of a season, as a change sets them
    "last_day": "last day",
    "blocks": "blocks",
    "closed_days": "closed days",
    "site": "site",
    "disciplines": "disciplines and goals",
    "diver": "body and suit",
    "rules": "own rules",
    "days_on": "dive days in a row",
    "days_off": "days off",
    "block_days": "days of a block",
    "break_days": "days between blocks",
    "lead": "main disciplines",
    "drill": "drill",
}
