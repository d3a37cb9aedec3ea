// What each part does over time, under the picture: one lane a part, both halves in it, and the moment now.

const LANES = [
  { name: "lips", signal: "lips_gap", full: 16, organ: "lips" },
  { name: "tip", signal: "tip_gap", full: 16, organ: "coronal" },
  { name: "body", signal: "body_gap", full: 20, organ: "dorsal" },
  { name: "velum", signal: "port", full: 10 },
  { name: "folds", signal: "folds", full: 6 },
  { name: "pressure", signal: "pressure", full: 1 },
  { name: "wave", signal: "wave", full: 1 },
];
const LANE_PX = 34, SYMBOLS_PX = 26, FOOT_PX = 22;

function tracksHeight(count) {
  return count * SYMBOLS_PX + LANES.length * LANE_PX + FOOT_PX;
}

// `view`: { from, to, zeros, colours, say, size }, times on the common clock. Gives the left edge of the lanes in px.
function drawTracks(canvas, view) {
  const ratio = window.devicePixelRatio || 1, w = canvas.clientWidth, count = DATA.halves.length;
  const h = tracksHeight(count), ctx = canvas.getContext("2d"), { colours, say } = view;
  canvas.width = Math.round(w * ratio);
  canvas.height = Math.round(h * ratio);
  ctx.setTransform(ratio, 0, 0, ratio, 0, 0);
  const left = Math.min(132, Math.max(84, 0.22 * w)), right = w - 10;
  const px = (t) => left + ((t - view.from) / (view.to - view.from)) * (right - left);
  ctx.fillStyle = colours.panel;
  ctx.fillRect(0, 0, w, h);
  ctx.textBaseline = "middle";
  const font = (size, bold) => { ctx.font = (bold ? "700 " : "") + size + "px " + view.font; };
  DATA.halves.forEach((half, number) => {
    const y = number * SYMBOLS_PX + 2, zero = view.zeros[number];
    font(13, true);
    ctx.fillStyle = colours.ink;
    ctx.textAlign = "left";
    ctx.fillText(fitted(ctx, half.name, left - 34), 8, y + 12);
    sample(ctx, number, left - 24, y + 12, colours);
    for (const span of half.spans) {
      const a = px(span.start - zero), b = px(span.end - zero);
      if (b < left || a > right) continue;
      const x = Math.max(a, left), wide = Math.min(b, right) - x - 1.5;
      ctx.fillStyle = colours.paper;
      ctx.strokeStyle = colours.rule;
      ctx.lineWidth = 1;
      ctx.beginPath();
      ctx.roundRect(x, y, Math.max(wide, 1), SYMBOLS_PX - 6, 4);
      ctx.fill();
      ctx.stroke();
      ctx.fillStyle = colours.ink;
      ctx.textAlign = "center";
      font(14, true);
      if (ctx.measureText(span.symbol).width < wide + 4) ctx.fillText(span.symbol, x + wide / 2, y + 10.5);
    }
  });
  LANES.forEach((lane, i) => {
    const top = count * SYMBOLS_PX + i * LANE_PX, base = top + LANE_PX - 5, high = LANE_PX - 11;
    ctx.strokeStyle = colours.rule;
    ctx.lineWidth = 1;
    ctx.globalAlpha = 0.5;
    ctx.beginPath();
    ctx.moveTo(left, base + 0.5);
    ctx.lineTo(right, base + 0.5);
    ctx.stroke();
    ctx.globalAlpha = 1;
    font(13);
    ctx.fillStyle = colours.ink2;
    ctx.textAlign = "left";
    ctx.fillText(fitted(ctx, say("track_" + lane.name), left - 14), 8, top + LANE_PX / 2 + 1);
    for (let half = DATA.halves.length - 1; half >= 0; half--) {
      drawLane(ctx, lane, half, { ...view, px, base, high, left, right });
    }
  });
  font(12);
  ctx.fillStyle = colours.ink2;
  ctx.textAlign = "center";
  const step = [0.1, 0.2, 0.5].find((one) => px(one) - px(0) > 46) ?? 1, y = h - FOOT_PX / 2 + 2;
  for (let t = Math.ceil(view.from / step) * step; t < view.to; t += step) {
    const ms = Math.round(1000 * t);
    ctx.fillText(ms < 0 ? "\u2212" + -ms : String(ms), px(t), y);
  }
  ctx.textAlign = "left";
  ctx.fillText(say("track_ms"), 8, y);
  return { left, right };
}

// Lines of the first half are solid, of the second dashed.
function sample(ctx, half, x, y, colours) {
  ctx.strokeStyle = half ? colours.mover_line : colours.ink;
  ctx.lineWidth = 2;
  ctx.setLineDash(half ? [5, 3.5] : []);
  ctx.beginPath();
  ctx.moveTo(x, y);
  ctx.lineTo(x + 20, y);
  ctx.stroke();
  ctx.setLineDash([]);
}

function drawLane(ctx, lane, half, { px, base, high, left, right, zeros, colours }) {
  const table = TABLES[LETTERS[half] + lane.signal], zero = zeros[half], step = 1 / DATA.signal_rate;
  ctx.save();
  ctx.beginPath();
  ctx.rect(left, base - high - 5, right - left, high + 10);
  ctx.clip();
  if (lane.name === "wave") {
    drawWave(ctx, table, half, (i) => px(i * step - zero), base - high / 2, high / 2 + 2, colours);
    ctx.restore();
    return;
  }
  if (lane.organ) {
    for (const [organ, start, end] of DATA.halves[half].closures) {
      if (organ !== lane.organ) continue;
      ctx.fillStyle = colours.contact;
      ctx.strokeStyle = colours.contact_edge;
      ctx.lineWidth = 1;
      const y = base - 3 - (DATA.halves.length > 1 ? (half ? 0 : 6) : 2), a = px(start - zero), b = px(end - zero);
      ctx.fillRect(a, y, b - a, 5);
      ctx.strokeRect(a, y, b - a, 5);
    }
  }
  ctx.beginPath();
  for (let i = 0; i < table.frames; i++) {
    const y = base - high * limited(table.data[i] / lane.full);
    if (i) ctx.lineTo(px(i * step - zero), y);
    else ctx.moveTo(px(-zero), y);
  }
  ctx.strokeStyle = lane.name === "pressure" ? colours.air : half ? colours.mover_line : colours.ink;
  ctx.lineWidth = 2;
  ctx.setLineDash(half ? [5, 3.5] : []);
  ctx.stroke();
  ctx.setLineDash([]);
  if (lane.name === "folds") {
    const voice = TABLES[LETTERS[half] + "voice"], y = base - (DATA.halves.length > 1 ? (half ? 5 : high - 4) : high / 2);
    ctx.beginPath();
    let down = false;
    for (let x = left; x < right; x += 1) {
      const t = ((x - left) / (right - left)) * 1 , time = timeOf(t, px, left, right) + zero, on = mixed(voice, time * DATA.signal_rate)[0] > DATA.limits.voice_share;
      const at = y + 3.4 * Math.sin(x / 2.6);
      if (on && down) ctx.lineTo(x, at);
      else if (on) ctx.moveTo(x, at);
      down = on;
    }
    ctx.strokeStyle = colours.voice;
    ctx.lineWidth = 2;
    ctx.stroke();
  }
  ctx.restore();
}

// How loud it is, as the wave's outline about a middle; of two, the first above it and the second below.
function drawWave(ctx, table, half, px, middle, high, colours) {
  const most = Math.max(0.05, ...DATA.halves.map((_, i) => TABLES[LETTERS[i] + "wave"].data.reduce((a, b) => Math.max(a, b), 0)));
  const two = DATA.halves.length > 1, level = (i) => Math.max(0.4, (high * table.data[i]) / most);
  ctx.beginPath();
  ctx.moveTo(px(0), middle);
  if (!two || half === 0) for (let i = 0; i < table.frames; i++) ctx.lineTo(px(i + 0.5), middle - level(i));
  ctx.lineTo(px(table.frames), middle);
  if (!two || half === 1) for (let i = table.frames - 1; i >= 0; i--) ctx.lineTo(px(i + 0.5), middle + level(i));
  ctx.closePath();
  ctx.fillStyle = half ? colours.mover_line : colours.ink;
  ctx.fill();
}

// px() is straight: its inverse from two of its points.
function timeOf(share, px, left, right) {
  const a = px(0), b = px(1);
  return (left + share * (right - left) - a) / (b - a);
}

function fitted(ctx, text, room) {
  if (ctx.measureText(text).width <= room) return text;
  let end = [...text];
  while (end.length > 1 && ctx.measureText(end.join("") + "\u2026").width > room) end.pop();
  return end.join("") + "\u2026";
}
