// The sine that fits values best at a known rate, and the straight trend that is taken out before.

const MOST_ALIKE = 0.95; // of neighbours: more would leave next to nothing of a short clip

/** The values less the straight line that fits them best. @param {number[]} times_s @param {number[]} values */
export function withoutTrend(times_s, values) {
  const { mean, slope, middle } = trendOf(times_s, values);
  return values.map((value, i) => value - mean - slope * (times_s[i] - middle));
}

/** The straight line: `mean` at the moment `middle`, and its slope per second. */
export function trendOf(times_s, values) {
  const n = values.length;
  const middle = times_s.reduce((sum, t) => sum + t, 0) / n;
  const mean = values.reduce((sum, value) => sum + value, 0) / n;
  let [above, below] = [0, 0];
  times_s.forEach((t, i) => { above += (t - middle) * (values[i] - mean); below += (t - middle) ** 2; });
  return { mean, slope: below > 0 ? above / below : 0, middle };
}

/**
 * The sine of this rate with the least squares: {half, top_s, left}: half of its swing, the moment of a top, and what
 * it leaves over of each value.
 * @param {number[]} times_s @param {number[]} values @param {number} hz
 */
export function fittedSine(times_s, values, hz) {
  const waves = times_s.map((t) => [1, Math.cos(2 * Math.PI * hz * t), Math.sin(2 * Math.PI * hz * t)]);
  const [mean, cos, sin] = solved(normal(waves, values));
  const left = values.map((value, i) => value - mean - cos * waves[i][1] - sin * waves[i][2]);
  return { half: Math.hypot(cos, sin), top_s: Math.atan2(sin, cos) / (2 * Math.PI * hz), left };
}

/** How many of these values are independent: neighbours that are alike tell less. @param {number[]} left */
export function independent(left) {
  const square = left.reduce((sum, value) => sum + value * value, 0);
  const beside = left.slice(1).reduce((sum, value, i) => sum + value * left[i], 0);
  const alike = Math.max(0, Math.min(MOST_ALIKE, beside / (square || 1)));
  return left.length * (1 - alike) / (1 + alike);
}

/** The normal equations, one row each with its right side last. */
function normal(rows, values) {
  const sum = (of) => rows.reduce((all, row, i) => all + of(row, i), 0);
  return [0, 1, 2].map((j) => [
    ...[0, 1, 2].map((k) => sum((row) => row[j] * row[k])), sum((row, i) => row[j] * values[i]),
  ]);
}

/** The solution of three equations, by elimination with the largest pivot first. */
function solved(rows) {
  for (let at = 0; at < 3; at += 1) {
    const best = [0, 1, 2].slice(at).reduce((a, b) => (Math.abs(rows[b][at]) > Math.abs(rows[a][at]) ? b : a));
    [rows[at], rows[best]] = [rows[best], rows[at]];
    for (let other = 0; other < 3; other += 1) {
      const share = other === at ? 0 : rows[other][at] / (rows[at][at] || 1e-12);
      rows[other] = rows[other].map((value, k) => value - share * rows[at][k]);
    }
  }
  return rows.map((row, i) => row[3] / (row[i] || 1e-12));
}
