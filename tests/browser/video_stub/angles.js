// Stands in for the module of the same name as long as it is missing.
export function includedAngle(a, b, c) {
  const [u, v] = [[a.x - b.x, a.y - b.y], [c.x - b.x, c.y - b.y]];
  const cos = (u[0] * v[0] + u[1] * v[1]) / (Math.hypot(...u) * Math.hypot(...v));
  return (Math.acos(Math.min(1, Math.max(-1, cos))) * 180) / Math.PI;
}
