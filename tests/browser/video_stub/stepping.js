// Stands in for the module of the same name as long as it is missing.
const later = (video, index, fps) => new Promise((done) => {
  let drawn = false, sought = false;
  const end = () => drawn && sought && done();
  video.requestVideoFrameCallback(() => { drawn = true; end(); });
  video.onseeked = () => { sought = true; end(); setTimeout(done, 400); };
  video.currentTime = (index + 0.5) / fps;
});
export const seekFrame = later;
export async function frameRate(video) {
  const seen = [];
  const note = (_, { mediaTime, presentedFrames }) => {
    seen.push([mediaTime, presentedFrames]);
    video.requestVideoFrameCallback(note);
  };
  video.requestVideoFrameCallback(note);
  await video.play();
  await new Promise((done) => { video.onended = done; setTimeout(done, 700); });
  video.pause();
  const rates = seen.slice(1).map(([t, n], at) => (n - seen[at][1]) / (t - seen[at][0])).filter((r) => r > 0)
    .sort((a, b) => a - b);
  const middle = rates[Math.floor(rates.length / 2)] ?? 0;
  const fps = [24, 25, 30, 50, 60].find((rate) => Math.abs(rate - middle) < rate / 50);
  return { fps: fps ?? 30, steady: fps !== undefined };
}
export function greyOf(video, canvas, most = 1280) {
  const width = Math.min(most, video.videoWidth);
  const height = Math.round((video.videoHeight * width) / video.videoWidth);
  Object.assign(canvas, { width, height });
  const pen = canvas.getContext("2d", { willReadFrequently: true });
  pen.drawImage(video, 0, 0, width, height);
  const { data } = pen.getImageData(0, 0, width, height);
  const grey = new Float32Array(width * height);
  for (let at = 0; at < grey.length; at += 1) grey[at] = data[4 * at + 1];
  return { width, height, data: grey };
}
