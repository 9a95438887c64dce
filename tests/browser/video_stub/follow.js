// Stands in for the module of the same name as long as it is missing: it moves the marks as the made clip does.
import { seekFrame } from "./stepping.js";
export async function follow({ video, fps, first, last, marks, onProgress, onLost, signal }) {
  const tracks = [];
  const points = structuredClone(marks);
  const gone = new Set();
  for (let index = first; index <= last; index += 1) {
    signal.throwIfAborted();
    await seekFrame(video, index, fps);
    const t_s = index / fps;
    if (index === first + 60 && points.fin && points.fin.y < 40) {
      const at = await onLost("fin", index);
      signal.throwIfAborted();
      if (at) points.fin = at;
      else gone.add("fin");
    }
    const [a, b] = [0.26 * Math.sin(2 * Math.PI * t_s), 0.26 * Math.sin(2 * Math.PI * t_s)
      - (30 + 20 * Math.sin(2 * Math.PI * t_s + 1)) * Math.PI / 180];
    const knee = { x: marks.hip.x + 80 * Math.sin(a), y: marks.hip.y + 80 * Math.cos(a) };
    const ankle = { x: knee.x + 80 * Math.sin(b), y: knee.y + 80 * Math.cos(b) };
    const all = { ...points, knee, ankle };
    tracks.push({ index, t_s, points: Object.fromEntries(Object.entries(all).filter(([name]) => !gone.has(name))) });
    onProgress((index - first + 1) / (last - first + 1));
  }
  return tracks;
}
