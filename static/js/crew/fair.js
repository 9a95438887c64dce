// The fair share of safety duty: for dives whose times stand, who is safety at which, so that the sum of the squares of
// everybody's duties is least. A duty goes over from one person to the next along a chain while that makes it less.

/** The sum of the squares. @param {number[]} duties */
export function unfairness(duties) {
  return duties.reduce((sum, count) => sum + count * count, 0);
}

/**
 * The safety divers of each step as places, as fair as its times let them be.
 * @param {CrewTask} task @param {CrewStep[]} steps
 */
export function shareOut(task, steps) {
  const may = steps.map((step) => new Set(rested(task, steps, step)));
  const safety = steps.map((step) => [...step.safety]);
  const duties = [...task.start.duties];
  for (const place of safety.flat()) duties[place] += 1;
  while (handOver(task, steps, { may, safety, duties }));
  return safety.map((list) => list.sort((one, other) => one - other));
}

// Who could be safety at this step: able to meet the diver, and rested before and after.
function rested({ dives, numbers, start }, steps, { dive, begins, ends }) {
  const own = (place) => steps.filter((one) => dives[one.dive].person === place && dives[one.dive].beyond);
  const isFar = (one) => one.ends + numbers.rest <= begins || ends + numbers.rest <= one.begins;
  return dives[dive].able.filter((place) => start.rested[place] <= begins && own(place).every(isFar));
}

// One duty less for somebody with at least two more than the person at the end of the chain; false if there is none.
function handOver(task, steps, state) {
  const { duties } = state;
  const most = [...duties.keys()].sort((one, other) => duties[other] - duties[one] || one - other);
  for (const giver of most) {
    const chain = chainFrom(task, steps, state, giver);
    const taker = most.findLast((place) => chain.has(place) && duties[place] + 1 < duties[giver]);
    if (taker === undefined) continue;
    for (let place = taker; place !== giver; place = chain.get(place).from) {
      const { from, at } = chain.get(place);
      state.safety[at].splice(state.safety[at].indexOf(from), 1, place);
    }
    duties[giver] -= 1;
    duties[taker] += 1;
    return true;
  }
  return false;
}

// Everyone who can take a duty from the giver, directly or through a chain in which each person takes one duty and
// hands on another; for each: who had it, and at which step.
function chainFrom({ dives }, steps, { may, safety }, giver) {
  const chain = new Map([[giver, null]]);
  for (const from of chain.keys()) {
    for (const [at, list] of safety.entries()) {
      if (!list.includes(from) || dives[steps[at].dive].named.includes(from)) continue;
      for (const place of may[at]) if (!list.includes(place) && !chain.has(place)) chain.set(place, { from, at });
    }
  }
  return chain;
}
