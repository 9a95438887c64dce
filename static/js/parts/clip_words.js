// What the page of clips says, its numbers, and its figures with published values: they come with the page itself,
// as no other page needs them.
const carried = document.querySelector("meta[name=technique]")?.getAttribute("content");

/** @type {{ technique: any, figure: any }} */
export const { technique: TECHNIQUE, figure: FIGURES } = JSON.parse(carried ?? '{ "technique": {}, "figure": {} }');
