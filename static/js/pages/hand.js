// Hand over the day: a crew day as a file or text to another phone without signal, and from it.
import { giveForm } from "../parts/hand_give.js";
import { takeForm } from "../parts/hand_take.js";
import { dayText } from "../plan/day_file.js";
import { readFeeds } from "../store/feeds.js";
import { dayOf, takeDay } from "../store/handed.js";
import { takeReceived } from "../store/received.js";
import { warn } from "../ui/alarm.js";
import { byId, h, put } from "../ui/dom.js";
import { startBoat } from "./boat.js";

let slate = null;
let drawn = ""; // the crews that are drawn: their text is made anew only when something changed
const asked = new URLSearchParams(location.search);
const { form, takeIn } = takeForm((day) => takeDay(day, slate.user), byId("hand-says"));

put(byId("hand-take"), form);
startBoat(draw);

async function draw(found) {
  const isFirst = slate === null;
  slate = found;
  const { crews, logs } = await readFeeds(slate.user);
  const key = JSON.stringify([crews, logs, slate.today]);
  if (key !== drawn) await give(crews, logs);
  drawn = key;
  if (isFirst && asked.has("received")) await received();
}

async function give(crews, logs) {
  const people = logs.filter(({ rights, rows }) => rights.includes("write") && rows.some(({ waiting }) => waiting))
    .map(({ feed, name }) => ({ person: feed, name }));
  const forms = crews.map((crew) => giveForm({ name: crew.name, date: slate.today, people,
    textFor: async (person) => dayText(await dayOf(crew, slate.today, slate.user, person || undefined)) }));
  await Promise.all(forms.map(({ ready }) => ready));
  put(byId("hand-give"), forms.length > 0 ? forms.map((one) => one.form)
    : h("p", { id: "no-crew" }, "This phone is in no crew yet. A crew is made or joined with signal: ",
      h("a", { href: "/crews/" }, "crews"), "."));
}

// What another app has shared with this one.
async function received() {
  history.replaceState(null, "", "/boat/hand");
  try {
    const text = await takeReceived();
    if (text !== null) await takeIn(text);
  } catch (error) {
    console.error(error);
    warn("What was shared cannot be read. Save it as a file, and open it here.");
  }
}
