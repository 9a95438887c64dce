// The measuring core: loaded when a clip is opened, as the list of clips does not need it.

/** What the player needs. */
export async function stepping() {
  const [step, times] = await Promise.all([import("../video/stepping.js"), import("../video/film_times.js")]);
  return { ...step, ...times };
}

/** All that measuring needs, in one object. */
export async function measuring() {
  const [angles, figures, follow, track, step] = await Promise.all([
    import("../video/angles.js"),
    import("../video/figures.js"),
    import("../video/follow.js"),
    import("../video/track.js"),
    stepping(),
  ]);
  return { ...angles, ...figures, ...follow, ...track, ...step };
}
