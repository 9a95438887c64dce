// Choices: of safety divers for a dive, and of so many things out of a list.

/** All choices of safety divers for a dive: those named by hand, and as many of the others as are missing. */
export function optionsOf({ able, named, need }) {
  const others = able.filter((place) => !named.includes(place));
  return choose(others, need - named.length).map((list) => [...named, ...list]);
}

/** All ways to choose so many of a list, in its order. @returns {any[][]} */
export function choose(list, many) {
  if (many <= 0) return [[]];
  return list.flatMap((one, at) => choose(list.slice(at + 1), many - 1).map((rest) => [one, ...rest]));
}
