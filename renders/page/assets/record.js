// A learner says it too and compares: lengths and pitch beside the model's, on one axis of time. What is recorded stays in
// this page's memory; it is gone with the next recording, with Delete, and when the page is closed. There is no score.

const REC = DATA.recording, record = { half: 0, wave: null, found: null, busy: false, stop: null, told: "record_note", link: null };

// Root of the mean square in every step of a wave.
function levelsOf(wave) {
  const step = Math.round(REC.step_s * CLIP_HZ), levels = new Float32Array(Math.floor(wave.length / step));
  for (let i = 0; i < levels.length; i++) {
    let sum = 0;
    for (let k = i * step; k < (i + 1) * step; k++) sum += wave[k] * wave[k];
    levels[i] = Math.sqrt(sum / step);
  }
  return levels;
}

// From when to when somebody speaks, in s; null where nobody does. What the room sounds like all the time does not count.
function saidIn(wave) {
  const levels = levelsOf(wave), sorted = Float32Array.from(levels).sort(), most = sorted[sorted.length - 1] || 0;
  const least = Math.max(sorted[Math.floor(sorted.length / 10)] * REC.over_room, most * REC.share_of_loudest);
  const first = levels.findIndex((level) => level > least), last = levels.findLastIndex((level) => level > least);
  if (most < REC.least_level || first < 0) return null;
  return [first * REC.step_s, (last + 1) * REC.step_s];
}

// Pitch in Hz at every step, 0 where there is none: the lag at which a wave of a sixth of the rate is most like itself.
function pitchOf(wave, [from, to]) {
  const by = 6, rate = CLIP_HZ / by, low = new Float32Array(Math.floor(wave.length / by)), found = [];
  for (let i = 0; i < low.length; i++) for (let k = 0; k < by; k++) low[i] += wave[i * by + k] / by;
  const [longest, shortest] = REC.pitch_hz.map((hz) => Math.round(rate / hz)), room = Math.round(REC.window_s * rate);
  for (let t = from; t < to; t += REC.step_s) {
    const at = Math.round(t * rate) - (room >> 1), like = (lag) => {
      let both = 0, a = 1e-9, b = 1e-9;
      for (let i = Math.max(0, at); i < at + room && i + lag < low.length; i++) {
        both += low[i] * low[i + lag];
        a += low[i] ** 2;
        b += low[i + lag] ** 2;
      }
      return both / Math.sqrt(a * b);
    };
    const row = [];
    for (let lag = shortest - 1; lag <= longest + 1; lag++) row.push(like(lag));
    const most = Math.max(...row.slice(1, -1));
    // the first peak that is nearly as high as the highest: not two periods for one
    const i = row.findIndex((v, k) => k > 0 && k < row.length - 1 && v > 0.9 * most && v >= row[k - 1] && v >= row[k + 1]);
    const bend = i > 0 ? row[i - 1] - 2 * row[i] + row[i + 1] : 0;
    found.push(i > 0 && most > REC.voiced_over ? rate / (shortest - 1 + i + (bend ? (0.5 * (row[i - 1] - row[i + 1])) / bend : 0)) : 0);
  }
  return found;
}

const middleOf = (values) => values.slice().sort((a, b) => a - b)[values.length >> 1] ?? 0;

// What is compared of a wave: when it is said, its pitch at every step of that, and the middle of that in Hz.
function measured(wave) {
  const said = saidIn(wave);
  if (!said) return null;
  const pitch = pitchOf(wave, said);
  return { said, pitch, length: said[1] - said[0], hz: middleOf(pitch.filter((hz) => hz > 0)) };
}

const hosted = () => window !== window.top, blocked = () => document.featurePolicy && !document.featurePolicy.allowsFeature("microphone");

// Asks for the microphone, records until stopped or for as long as is allowed, and measures.
async function recordNow() {
  if (record.stop) return record.stop();
  if (record.busy) return;
  pause();
  stopOne();
  deleteRecording();
  if (!navigator.mediaDevices || typeof MediaRecorder === "undefined") return putRecord("record_cannot");
  if (blocked()) return putRecord("record_host");
  record.busy = true;
  let stream = null;
  try {
    putRecord("record_asks");
    stream = await navigator.mediaDevices.getUserMedia({ audio: { echoCancellation: false, noiseSuppression: false, autoGainControl: false } });
    const wave = await taken(stream);
    await decoded;
    record.found = measured(wave);
    record.wave = record.found && wave;
    const loudest = wave.reduce((a, b) => Math.max(a, Math.abs(b)), 0);
    putRecord(!record.wave ? "record_silent" : loudest >= REC.clipped ? "record_loud" : "record_done");
  } catch (error) {
    const refused = ["NotAllowedError", "SecurityError"].includes(error.name);
    putRecord(refused ? (hosted() ? "record_host" : "record_refused") : error.name === "NotFoundError" ? "record_absent" : "record_cannot");
  } finally {
    if (stream) for (const track of stream.getTracks()) track.stop();
    record.busy = false;
    record.stop = null;
    putRecord(record.told);
  }
}

function taken(stream) {
  return new Promise((done, failed) => {
    const maker = new MediaRecorder(stream), chunks = [];
    maker.ondataavailable = (event) => chunks.push(event.data);
    maker.onerror = (event) => failed(event.error ?? new Error("recorder"));
    maker.onstop = async () => {
      try {
        const buffer = await new OfflineAudioContext(1, 1, CLIP_HZ).decodeAudioData(await new Blob(chunks).arrayBuffer());
        done(buffer.getChannelData(0).slice());
      } catch (error) {
        failed(error);
      }
    };
    const end = setTimeout(() => record.stop?.(), 1000 * REC.most_s);
    record.stop = () => {
      clearTimeout(end);
      record.stop = null;
      if (maker.state !== "inactive") maker.stop();
    };
    maker.start();
    putRecord("record_on");
  });
}

function deleteRecording() {
  if (record.link) URL.revokeObjectURL(record.link);
  Object.assign(record, { wave: null, found: null, link: null, told: "record_note" });
  if (recordButton.isConnected) putRecord("record_note");
}

// What was said of a recording, and the model's word.
const mine = () => record.wave.slice(...record.found.said.map((t, i) => Math.max(0, Math.round((t + (i ? 0.1 : -0.05)) * CLIP_HZ))));
const theirs = () => word(record.half);

// A file of the recording, for who wants to keep it: 16 bit, one channel.
function keepRecording() {
  const part = mine(), view = new DataView(new ArrayBuffer(44 + 2 * part.length)), text = (at, words) => [...words].forEach((c, i) => view.setUint8(at + i, c.charCodeAt(0)));
  text(0, "RIFF");
  view.setUint32(4, 36 + 2 * part.length, true);
  text(8, "WAVEfmt ");
  [[16, 16, 4], [20, 1, 2], [22, 1, 2], [24, CLIP_HZ, 4], [28, 2 * CLIP_HZ, 4], [32, 2, 2], [34, 16, 2], [40, 2 * part.length, 4]].forEach(([at, value, size]) =>
    size === 4 ? view.setUint32(at, value, true) : view.setUint16(at, value, true));
  text(36, "data");
  part.forEach((x, i) => view.setInt16(44 + 2 * i, Math.round(32767 * limited(x, -1, 1)), true));
  if (record.link) URL.revokeObjectURL(record.link);
  record.link = URL.createObjectURL(new Blob([view], { type: "audio/wav" }));
  el("a", { href: record.link, download: HALVES[record.half].name.replace(/[^\p{L}\p{N}]+/gu, "-") + ".wav" }).click();
}

// What can be pressed.

const recordButton = button("record", { class: "hear" }), recordTold = el("p", { class: "small", id: "record-told", role: "status" });
const recordCanvas = el("canvas", { class: "compared", id: "compared", role: "img" }), recordText = el("p", { id: "record-lengths" });
const recordPlays = el("div", { class: "choices", role: "group", label: "record" });
const recordTools = [["mine", () => [mine()]], ["theirs", () => [theirs()]], ["both", () => [theirs(), mine()]]].map(([name, waves]) =>
  button("play-" + name, { t: "record_" + name, on: { click: () => hear(waves) } }));
recordPlays.append(...recordTools, button("record-save", { t: "record_save", on: { click: keepRecording } }),
  button("record-delete", { t: "record_delete", on: { click: deleteRecording } }));
const recordWords = group("record-word", HALVES.map((_, i) => i), () => record.half, (half) => {
  if (record.busy) return;
  record.half = half;
  deleteRecording();
}, (half) => (half ? "record_b" : "record_a"));
recordButton.addEventListener("click", recordNow);

function recordPanel() {
  return el("section", { class: "panel", id: "recording" }, el("h2", { t: "record" }), recordTold,
    el("div", { class: "bar gap" }, PAIR ? recordWords : null, recordButton), recordText, recordCanvas, recordPlays, el("p", { class: "small", t: "record_kept" }));
}

function putRecord(told) {
  record.told = told;
  recordButton.replaceChildren(el("span", { t: record.stop ? "record_stop" : record.found ? "record_again" : "record_start" }));
  recordButton.setAttribute("aria-pressed", String(Boolean(record.stop)));
  recordButton.disabled = record.busy && !record.stop;
  recordTold.dataset.t = told;
  for (const made of [recordCanvas, recordPlays, recordText]) made.hidden = !record.found;
  for (const made of recordTools.slice(1)) made.disabled = sound.failed;
  recordWords.put();
  putTexts();
  drawCompared();
}

// Both on one axis of time that begins where either begins to be heard. Pitch is drawn about each voice's own middle, so
// that a high and a low voice can be compared: one line up or down is two semitones.
function drawCompared() {
  if (!record.found || !recordCanvas.isConnected) return;
  const model = sound.waves[record.half] && measured(sound.waves[record.half]), rows = [model, record.found];
  const w = recordCanvas.clientWidth, ratio = window.devicePixelRatio || 1, ctx = recordCanvas.getContext("2d"), bar = 22, top = 2 * bar + 26, high = 130, h = top + high + 24;
  const words = (row) => say("record_length", { ms: number(Math.round(1000 * row.length)), hz: number(Math.round(row.hz)) });
  recordText.textContent = rows.map((row, i) => row && `${say(i ? "record_you" : "record_model")}: ${words(row)}`).filter(Boolean).join(" ");
  recordCanvas.setAttribute("aria-label", recordText.textContent);
  recordCanvas.width = Math.round(w * ratio);
  recordCanvas.height = Math.round(h * ratio);
  ctx.setTransform(ratio, 0, 0, ratio, 0, 0);
  const left = Math.min(110, 0.25 * w), right = w - 18, longest = Math.max(...rows.map((row) => row?.length ?? 0), 0.3), px = (t) => left + (t / longest) * (right - left);
  ctx.font = "13px " + getComputedStyle(document.body).fontFamily;
  ctx.textBaseline = "middle";
  const middle = top + high / 2, semitone = high / 26;
  ctx.fillStyle = COLOURS.ink2;
  ctx.fillText(fitted(ctx, say("record_pitch"), left - 12), 2, middle);
  ctx.strokeStyle = COLOURS.rule;
  ctx.lineWidth = 1;
  for (let k = -12; k <= 12; k += 2) {
    ctx.globalAlpha = k ? 0.35 : 1;
    ctx.strokeRect(left, middle - k * semitone, right - left, 0);
  }
  ctx.globalAlpha = 1;
  rows.forEach((row, i) => {
    if (!row) return;
    const colour = i ? COLOURS.mover_line : COLOURS.ink, y = i * bar + 6;
    ctx.fillStyle = colour;
    ctx.fillText(fitted(ctx, say(i ? "record_you" : "record_model"), left - 12), 2, y + 8);
    ctx.lineWidth = 1.5;
    ctx.strokeStyle = colour;
    ctx.strokeRect(left, y, px(row.length) - left, 16);
    ctx.lineWidth = 2.5;
    ctx.setLineDash(i ? [6, 4] : []);
    ctx.beginPath();
    let down = false;
    row.pitch.forEach((hz, k) => {
      const x = px(k * REC.step_s), shift = 12 * Math.log2(hz / row.hz);
      if (hz > 0 && Math.abs(shift) <= 12) {
        ctx.fillStyle = colour;
        ctx.fillRect(x, y + 5, px(REC.step_s) - left + 0.5, 6); // the voice's part of the length
        if (down) ctx.lineTo(x, middle - shift * semitone);
        else ctx.moveTo(x, middle - shift * semitone);
        down = true;
      } else down = false;
    });
    ctx.stroke();
    ctx.setLineDash([]);
  });
  ctx.fillStyle = COLOURS.ink2;
  ctx.textAlign = "center";
  const step = [0.1, 0.2, 0.5, 1].find((one) => px(one) - left > 46) ?? 2;
  for (let t = 0; t <= longest; t += step) ctx.fillText(String(Math.round(1000 * t)), px(t), h - 10);
  ctx.textAlign = "left";
  ctx.fillText(say("track_ms"), 2, h - 10);
}
