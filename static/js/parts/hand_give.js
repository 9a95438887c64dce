// Giving a crew day to another phone: as a file through the system's own sharing, as a file to save, or as text to
// copy.
import { h } from "../ui/dom.js";
import { field } from "../ui/fields.js";

const WHOLE_CREW = "";
const TYPE = "text/plain"; // not JSON: browsers refuse to share that

/**
 * The form that gives a day; `textFor(person)` makes the text, for the whole crew when no person is named.
 * @param {{ name: string, date: string, people: { person: string, name: string }[],
 *   textFor: (person: string) => Promise<string> }} what
 */
export function giveForm({ name, date, people, textFor }) {
  const file = (text) => new File([text], `crew-day-${date}.txt`, { type: TYPE });
  const shown = /** @type {HTMLTextAreaElement} */ (h("textarea",
    { id: "day-text", readonly: true, rows: 6, hidden: true, "aria-label": "The day as text" }));
  const says = h("p", { role: "status", id: "give-says" });
  let text = "";
  const prepare = async (person) => {
    text = await textFor(person); // before the touch: the system's sharing does not wait
    shown.value = text;
  };
  const choice = h("select", { id: "give-for", change: (event) => void prepare(event.target.value) },
    h("option", { value: WHOLE_CREW }, "the whole crew"),
    people.map((one) => h("option", { value: one.person }, one.name)));
  const ready = prepare(WHOLE_CREW);
  const share = () => navigator.share({ files: [file(text)] }).catch((error) =>
    error.name === "AbortError" || saveFile(file(text)));
  const reveal = () => {
    shown.hidden = false;
    shown.focus();
    shown.select();
    says.textContent = "Copy all of it, and paste it into a message.";
  };
  const maySend = navigator.canShare?.({ files: [file(" ")] });
  const form = h("section", { class: "sheet", "aria-labelledby": "give-head" },
    h("h2", { id: "give-head" }, `Give the day of ${name}`),
    people.length > 0 && field("give-for", "For", choice,
      "For one diver it also holds the dives that you logged for them, with their signs. Give it to nobody else."),
    h("div", { class: "row" },
      maySend && h("button", { type: "button", id: "give-share", click: share }, "Send as a file"),
      h("button", { type: "button", id: "give-file", class: maySend ? "button-quiet" : null,
        click: () => saveFile(file(text)) }, "Save as a file"),
      h("button", { type: "button", id: "give-text", class: "button-quiet", click: reveal }, "Show as text")),
    shown, says,
    h("p", { class: "soft" }, "Whoever gets it can read all of it. It is not signed: the server decides again what its "
      + "bearer may write."));
  return { form, ready };
}

function saveFile(file) {
  const address = URL.createObjectURL(file);
  h("a", { href: address, download: file.name }).click();
  setTimeout(() => URL.revokeObjectURL(address), 60_000); // the download may read it late
}
