// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
// What passed between two frames, in one picture: the places that stand out on one sample only, inked.
import { frameUrl } from "./api.ts";
import type { ClipTimes } from "./api.ts";

const samples = 25;
const wide_px = 800;
// Grey levels by which a place must stand out on one sample before it does on any other: what passes a place is there
// once, while clouds and trees come and go.
const least_alone = 9;
const most_changed = 0.06; // of the picture: more, and it was the camera that moved
const around_px = 2; // a speck is drawn so much larger each way
const ink = [255, 217, 92] as const;

async function load(url: string, signal: AbortSignal): Promise<ImageBitmap> {
  const response = await fetch(url, { signal, credentials: "same-origin" });
  if (!response.ok) throw new Error(`status ${response.status}`);
  return createImageBitmap(await response.blob());
}

const grey = (data: Uint8ClampedArray, i: number): number =>
  0.299 * (data[i] ?? 0) + 0.587 * (data[i + 1] ?? 0) + 0.114 * (data[i + 2] ?? 0);

// The places that stand out on one sample only.
function passing(frames: ImageData[]): Uint8Array {
  const size = frames[0]?.data.length ?? 0;
  const out = new Uint8Array(size / 4);
  for (let i = 0; i < size; i += 4) {
    let mean = 0;
    for (const frame of frames) mean += grey(frame.data, i);
    mean /= frames.length;
    let most = 0;
    let second = 0;
    for (const frame of frames) {
      const away = Math.abs(grey(frame.data, i) - mean);
      if (away > most) [most, second] = [away, most];
      else if (away > second) second = away;
    }
    if (most - second > least_alone) out[i / 4] = 1;
  }
  return out;
}

// One of the frames with those places inked; null where so much changed that it tells nothing.
function together(frames: ImageData[]): ImageData | null {
  const ground = frames[Math.floor(frames.length / 2)];
  if (!ground) return null;
  const { width, height } = ground;
  const out = new ImageData(new Uint8ClampedArray(ground.data), width, height);
  const marked = passing(frames);
  let changed = 0;
  for (let at = 0; at < marked.length; ++at) {
    if (marked[at] !== 1) continue;
    changed += 1;
    const x = at % width;
    const y = Math.floor(at / width);
    for (let dy = -around_px; dy <= around_px; ++dy) {
      for (let dx = -around_px; dx <= around_px; ++dx) {
        if (x + dx < 0 || x + dx >= width || y + dy < 0 || y + dy >= height) continue;
        out.data.set(ink, 4 * (at + dy * width + dx));
      }
    }
  }
  return changed > most_changed * marked.length ? null : out;
}

// Draws the trail on `canvas`; false where it would show nothing, or a frame cannot be had.
export async function drawTrail(canvas: HTMLCanvasElement, clip: ClipTimes, first: number, last: number, signal: AbortSignal): Promise<boolean> {
  canvas.width = Math.min(wide_px, clip.width_px);
  canvas.height = Math.round((canvas.width * clip.height_px) / clip.width_px);
  const context = canvas.getContext("2d", { willReadFrequently: true });
  if (!context) return false;
  const frames: ImageData[] = [];
  try {
    const count = Math.min(samples, last - first + 1);
    for (let i = 0; i < count; ++i) {
      const frame = Math.round(first + ((last - first) * i) / Math.max(1, count - 1));
      const bitmap = await load(frameUrl(clip.id, frame), signal);
      context.drawImage(bitmap, 0, 0, canvas.width, canvas.height);
      bitmap.close();
      frames.push(context.getImageData(0, 0, canvas.width, canvas.height));
    }
  } catch {
    return false;
  }
  const trail = together(frames);
  if (!trail) return false;
  context.putImageData(trail, 0, 0);
  return true;
}
