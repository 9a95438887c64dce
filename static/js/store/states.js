// How far a record was sent, in the words that the pages show.
export const STATES = { here: "saved here", sent: "sent", look: "needs a look" };
