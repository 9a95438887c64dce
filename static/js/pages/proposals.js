// What a coach proposed to this diver: the open ones first, each with its answers.
import { proposalCard } from "../parts/proposal_card.js";
import { isOpen, proposalsIn } from "../parts/proposal_words.js";
import { byId, h, redraw } from "../ui/dom.js";
import { startBoat } from "./boat.js";

startBoat((slate) => {
  const all = proposalsIn(slate.rows);
  const open = all.filter(({ fields }) => isOpen(fields, slate.today));
  const others = all.filter((row) => !open.includes(row));
  redraw(byId("proposals"),
    open.length === 0 && h("p", null, all.length === 0
      ? "No coach has proposed anything. On shore you say who may: for each person, and for as long as you want."
      : "Nothing waits for your answer."),
    open.map((row) => proposalCard(slate, row)),
    h("p", { class: "soft" }, "What makes a day easier holds at once. Anything else is yours to take over."),
    others.length > 0 && h("details", { id: "earlier" }, h("summary", null, `Earlier ones: ${others.length}`),
      others.map((row) => proposalCard(slate, row))),
    h("p", { class: "actions" },
      h("a", { class: "button button-quiet", href: "/people/" }, "Who may do what (on shore)")));
});
