// The emergency plan of a site that a member gave to a crew: every phone of the crew has it, without signal too.
import { namedId } from "../plan/named_id.js";
import { readFeeds } from "../store/feeds.js";
import { isSite } from "../store/sites.js";
import { h } from "../ui/dom.js";

const KIND = "crew_site";
const isEmpty = (value) => value === null || value === undefined || value === "";

/** The id of a crew's copy of a site: given again, it is the same record. @param {string} feed @param {string} site */
const copyOf = (feed, site) => namedId(KIND, feed, site);

/** @param {SharedFeed} feed */
const given = ({ rows }) => (rows ?? []).filter(({ kind, fields }) => kind === KIND && fields.name);

/**
 * The sites of all crews of this diver, each with the name of its crew.
 * @param {Diver} user @returns {Promise<{ record: string, fields: Fields, crew: string }[]>}
 */
export async function crewSites(user) {
  const { crews } = await readFeeds(user);
  return crews.flatMap((crew) => given(crew).map(({ record, fields }) => ({ record, fields, crew: crew.name })));
}

/**
 * What the crew's page says of emergency plans, and the touches that give the own one and take one away.
 * @param {Slate} slate @param {SharedFeed} feed
 * @param {{ give: (record: string, fields: Fields) => void, take: (record: string) => void }} act
 */
export function crewPlans({ rows, season }, feed, { give, take }) {
  const plans = given(feed);
  const own = rows.find((row) => row.record === season?.site && isSite(row));
  return h("section", { "aria-labelledby": "plans-head" },
    h("h2", { id: "plans-head" }, "Emergency plan"),
    plans.length === 0 && h("p", null, "This crew has no emergency plan yet."),
    plans.map((one) => h("p", { class: "row crew-plan" }, h("strong", null, one.fields.name), taking(one, take))),
    giving(own, plans, feed.feed, give),
    h("p", { class: "actions" }, h("a", { class: "button button-quiet", href: "/boat/emergency" }, "Emergency page")));
}

// It goes from every phone: the first touch asks, the second removes.
function taking({ record, fields }, take) {
  const touched = ({ currentTarget: button }) => {
    if (button.dataset.asked) return take(record);
    button.dataset.asked = "yes";
    button.textContent = `Touch again to remove the plan of ${fields.name}`;
  };
  return h("button", { type: "button", class: "button-quiet", id: `take-${record}`, click: touched },
    "Remove", h("span", { class: "visually-hidden" }, ` the plan of ${fields.name}`));
}

function giving(own, plans, feed, give) {
  if (!own?.fields.emergency_phone) {
    return plans.length === 0 && h("p", { class: "row" }, "Fill in the plan of your site, then give it to the crew.",
      h("a", { class: "button button-quiet", href: "/boat/site" }, "Fill in the plan"));
  }
  const record = copyOf(feed, own.record);
  const before = plans.find((one) => one.record === record)?.fields;
  if (before && isSame(before, own.fields)) return null;
  return h("p", { class: "row" },
    h("button", { type: "button", id: "give-plan", click: () => give(record, own.fields) },
      `${before ? "Give the crew the changed plan" : "Give the crew the plan"} of ${own.fields.name}`),
    h("span", { class: "small" }, "Everybody in the crew sees all of it."));
}

function isSame(one, other) {
  return [...new Set([...Object.keys(one), ...Object.keys(other)])]
    .every((name) => one[name] === other[name] || (isEmpty(one[name]) && isEmpty(other[name])));
}
