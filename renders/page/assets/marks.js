// Air, pressure, voice and contact on the side view, drawn from the numbers of a moment.

const LINES = [0.16, 0.38, 0.62, 0.84], FEW_LINES = [0.2, 0.5, 0.8];
const LIMITS = DATA.limits;
const NOSE_GUIDE = [73.5, 27, 66, 31, 56, 29.3, 44, 28.8, 30, 29.4, 14, 29.8, 0, 30.6, -10, 31.2, -19, 30.4, -23.5, 27.5, -24.8, 23];

const limited = (value, low = 0, high = 1) => Math.min(Math.max(value, low), high);

// What of the marks a moment calls for.
function airOf(shape) {
  const { now, walls } = shape;
  const seam = walls.findIndex((row) => row.number > LIMITS.seam_above && row.room < LIMITS.seam_mm);
  const shut = shape.closed.length > 0, sides = now.sides >= LIMITS.sides_share && seam >= 0 && !shut;
  return {
    seam, sides, shut,
    mouth: limited(now.mouth / LIMITS.flow_ml_s - 1),
    nose: limited(now.nose / LIMITS.flow_ml_s - 1),
    foldsShut: now.folds_shut > 0.5,
  };
}

function rowsBehind(shape, air) {
  const { walls, folds } = shape;
  if (air.foldsShut) return walls.filter((row) => row.inner[1] < folds.height);
  return air.seam >= 0 ? walls.slice(0, air.seam + 1) : walls;
}

function drawPressure(pen, shape, air, level) {
  if (level <= 0.02) return;
  const rows = rowsBehind(shape, air);
  if (rows.length < 2) return;
  // reaches into the tissue on both sides, which is drawn over it; so no gap shows between two gridlines
  const wide = rows.filter((row) => row.room > 0.3);
  if (wide.length < 2) return;
  const beyond = (row, from, to, mm) => [0, 1].map((k) => to[k] + (mm * (to[k] - from[k])) / row.room);
  const inner = wide.map((row) => beyond(row, row.outer, row.inner, row.level ? 9 : 4));
  const outer = wide.map((row) => beyond(row, row.inner, row.outer, 4));
  pen.path(inward(joined(...inner, ...outer.reverse())), true);
  // the corner under the soft palate, where gridlines turn from the throat into the mouth
  const upright = wide.filter((row) => row.level), top = upright[upright.length - 1], velum = shape.lines.velum;
  let tip = 0;
  for (let i = 2; i < velum.length; i += 2) if (velum[i + 1] < velum[tip + 1]) tip = i;
  if (top && velum[tip + 1] > top.outer[1]) {
    const y = velum[tip + 1] + 10, wall = xAt(STILL.rear_wall, y, Math.min);
    const corner = [top.inner[0], top.inner[1] - 0.5, top.outer[0] + 3, top.outer[1] - 0.5, wall + 3, y, velum[tip], y];
    pen.add(inward(corner), true);
  }
  pen.fillPath("airtint", (0.25 + 0.75 * level) * level);
}

// Dots that thicken towards the place that holds the air; strewn along the channel, the same in every frame.
function drawDots(pen, shape, air, level) {
  const rows = rowsBehind(shape, air), last = rows[rows.length - 1];
  const seam = [(last.inner[0] + last.outer[0]) / 2, (last.inner[1] + last.outer[1]) / 2], ctx = pen.ctx;
  ctx.beginPath();
  for (let i = 1; i < 700; i++) {
    const at = ((i * 0.7548776662466927) % 1) * (rows.length - 1), share = 0.06 + 0.88 * ((i * 0.5698402909980532) % 1);
    const first = Math.floor(at), rest = at - first, a = rows[first], b = rows[first + 1];
    const x = mix(mix(a.inner[0], b.inner[0], rest), mix(a.outer[0], b.outer[0], rest), share);
    const y = mix(mix(a.inner[1], b.inner[1], rest), mix(a.outer[1], b.outer[1], rest), share);
    const near = Math.exp(-Math.hypot(x - seam[0], y - seam[1]) / 38) * level * limited(a.room / 12, 0.15);
    if ((i * 0.6180339887498949) % 1 > near || a.room < 1.4) continue;
    ctx.moveTo(x + 0.42, y);
    ctx.arc(x, y, 0.42, 0, 7);
  }
  pen.fillPath("air");
}

const mix = (a, b, share) => a + share * (b - a);

function softened(line, times) {
  for (let n = 0; n < times; n++) {
    const before = line.slice();
    for (let i = 2; i < line.length - 2; i++) line[i] = (before[i - 2] + 2 * before[i] + before[i + 2]) / 4;
  }
  return line;
}

// Lines of flow from the windpipe towards the lips; { line, room, always }.
function mouthLines(rows, shares) {
  const forward = rows.map((row) => row.inner.slice());
  for (let i = 1; i < rows.length; i++) {
    if (!rows[i].level) continue; // air does not turn sharply over an edge of the throat's front wall
    const least = forward[i - 1][0] - 0.45 * (forward[i][1] - forward[i - 1][1]);
    forward[i][0] = Math.min(Math.max(forward[i][0], least), Math.max(forward[i][0], rows[i].outer[0] - 2.6));
  }
  return shares.map((share, number) => {
    const line = [];
    rows.forEach((row, i) => {
      const at = 0.5 + (share - 0.5) * limited((row.room - 1.3) / 1.3);
      line.push(mix(forward[i][0], row.outer[0], at), mix(forward[i][1], row.outer[1], at));
    });
    for (let n = 0; n < 3; n++) {
      softened(line, 5);
      rows.forEach((row, i) => putBetween(line, i, forward[i], row));
    }
    const middle = number === Math.floor(shares.length / 2);
    return { line, room: rows.map((row) => row.room), least: middle ? 0 : 2.6 };
  });
}

function putBetween(line, i, inner, row) {
  const ax = row.outer[0] - inner[0], ay = row.outer[1] - inner[1], length = Math.max(ax * ax + ay * ay, 1e-9);
  const at = ((line[2 * i] - inner[0]) * ax + (line[2 * i + 1] - inner[1]) * ay) / length;
  const margin = Math.min(Math.max(0.12, 0.3 / Math.max(row.room, 1e-6)), 0.5), kept = limited(at, margin, 1 - margin);
  if (kept === at) return;
  line[2 * i] = inner[0] + kept * ax;
  line[2 * i + 1] = inner[1] + kept * ay;
}

function noseLines(shape, fromThroat, few) {
  const velum = shape.lines.velum, wall = STILL.rear_wall;
  let tip = 0;
  for (let i = 2; i < velum.length; i += 2) if (velum[i + 1] < velum[tip + 1]) tip = i;
  const tipX = velum[tip], tipY = velum[tip + 1], level = shape.walls.filter((row) => row.level);
  return (few ? [0.5] : [0.28, 0.5, 0.72]).map((share, number) => {
    const lift = few ? 0 : 1.6 * (number - 1), line = [];
    if (fromThroat) {
      for (const row of level) {
        if (row.inner[1] < tipY - 28) line.push(mix(row.inner[0], row.outer[0], share), row.inner[1]);
      }
    }
    for (let y = tipY - 26; y < 13; y += 2) {
      const rear = xAt(wall, y, Math.min), below = limited((tipY - y) / 26);
      let front = y > tipY ? xAt(velum, y, Math.max) : tipX + 1;
      if (y <= tipY) {
        const row = level.reduce((best, r) => (Math.abs(r.inner[1] - y) < Math.abs(best.inner[1] - y) ? r : best), level[0]);
        front += (row.inner[0] - front) * below ** 1.5;
      }
      line.push(mix(front, rear, share), y);
    }
    for (let i = 0; i < NOSE_GUIDE.length; i += 2) {
      line.push(NOSE_GUIDE[i], NOSE_GUIDE[i + 1] + lift * limited((i / 2 + 1) / 3));
    }
    line[line.length - 2] -= lift * 0.8;
    softened(line, 6);
    return { line, room: null, least: 0 };
  });
}

// Where an outline crosses a height: the least or the greatest x.
function xAt(line, y, choose) {
  let found = NaN;
  for (let i = 0; i < line.length - 2; i += 2) {
    const a = line[i + 1], b = line[i + 3];
    if (a === b || (a - y) * (b - y) > 0) continue;
    const x = line[i] + ((y - a) / (b - a)) * (line[i + 2] - line[i]);
    found = found === found ? choose(found, x) : x;
  }
  return found === found ? found : line[line.length - 2];
}

function drawLines(pen, shape, lines, strength, crowd) {
  const { now, folds } = shape, ctx = pen.ctx, closed = now.voice > 0.05 || now.folds <= LIMITS.folds_mm;
  const gap = closed ? [folds.height - 4, folds.height + (now.voice > 0.05 ? 13 : 4)] : null;
  const off = (y, more) => !gap || y < gap[0] - more || y > gap[1] + more;
  ctx.beginPath();
  for (const { line, room, least } of lines) {
    let down = false;
    for (let i = 0; i < line.length; i += 2) {
      const on = off(line[i + 1], 0) && (!room || room[i / 2] >= least);
      if (on && down) ctx.lineTo(line[i], line[i + 1]);
      else if (on) ctx.moveTo(line[i], line[i + 1]);
      down = on;
    }
  }
  pen.strokePath("air", 1.8, { opacity: strength, dash: now.breath > 0.5 && !crowd ? [3.6, 2.5] : null });
  ctx.beginPath();
  lines.forEach(({ line, room, least }, number) => {
    const run = lengthsOf(line), whole = run[run.length - 1], places = [];
    if (crowd) {
      let at = whole - 1 - 0.3 * number * 2.6, step = 2.6;
      while (at > 2 && places.length < 24) {
        places.push(at);
        step *= 1.26;
        at -= step;
      }
    } else {
      for (let at = ((now.travel + 5.5 * (number % 2)) % 11) + 2; at < whole - 1; at += 11) places.push(at);
    }
    for (const at of places) {
      const [x, y] = pointAt(line, run, at);
      const row = run.findIndex((length) => length >= at);
      if (!off(y, 1) || (room && (room[row] < Math.max(least, 2.2)))) continue;
      const a = pointAt(line, run, at - 0.8), b = pointAt(line, run, at + 0.8);
      arrowhead(pen, x, y, Math.atan2(b[1] - a[1], b[0] - a[0]), 2.3);
    }
  });
  pen.strokePath("air", 2.2, { opacity: strength });
}

function arrowhead(pen, x, y, angle, size) {
  const open = (150 * Math.PI) / 180;
  pen.add([
    x + size * Math.cos(angle + open), y + size * Math.sin(angle + open), x, y,
    x + size * Math.cos(angle - open), y + size * Math.sin(angle - open),
  ]);
}

// What leaves the mouth or the nose: burst, hiss, breath or flow.
function drawOutflow(pen, shape, ends, nose) {
  const { now } = shape, ctx = pen.ctx, flow = nose ? now.nose : now.mouth, level = limited(flow / LIMITS.full_ml_s);
  const cx = ends.reduce((sum, e) => sum + e[0], 0) / ends.length, cy = ends.reduce((sum, e) => sum + e[1], 0) / ends.length;
  const heading = nose ? Math.PI + (62 * Math.PI) / 180 : Math.PI + (8 * Math.PI) / 180;
  const length = nose ? 12 + 8 * level : 9 + 25 * level ** 0.7;
  const spread = Math.min(2.2, (Math.max(...ends.map((e) => e[1])) - Math.min(...ends.map((e) => e[1]))) / 2 + 0.3);
  function rays(count, degrees, reach) {
    const out = [];
    for (let i = 0; i < count; i++) {
      const share = count > 1 ? (2 * i) / (count - 1) - 1 : 0, angle = heading + ((degrees * Math.PI) / 180) * share;
      const far = Array.isArray(reach) ? reach[i] : reach, c = Math.cos(angle), s = Math.sin(angle);
      const x = cx - Math.sin(heading) * share * spread, y = cy + Math.cos(heading) * share * spread;
      out.push({ x: x + 1.5 * c, y: y + 1.5 * s, ex: x + far * c, ey: y + far * s, c, s, far });
    }
    return out;
  }
  ctx.beginPath();
  if (!nose && now.burst > 0.02) {
    const half = 0.35 + 0.5 * now.burst;
    for (const r of rays(5, 17, [0.72, 0.92, 1, 0.9, 0.7].map((k) => 1.15 * length * k))) {
      const fx = mix(r.x, r.ex, 0.62), fy = mix(r.y, r.ey, 0.62), nx = -r.s, ny = r.c;
      pen.add([r.x + 0.25 * nx, r.y + 0.25 * ny, fx + half * nx, fy + half * ny, r.ex, r.ey,
        fx - half * nx, fy - half * ny, r.x - 0.25 * nx, r.y - 0.25 * ny], true);
    }
    pen.fillPath("air", limited(0.35 + now.burst));
  } else if (!nose && now.narrow > 0.5) {
    for (const r of rays(4, 7, length)) {
      const zigzag = [];
      for (let d = 0, i = 0; d < r.far - 1.5; d += 1.5, i++) {
        const swing = Math.min(d / 12, 1) * (i % 2 ? 1 : -1);
        zigzag.push(r.x + d * r.c - swing * r.s, r.y + d * r.s + swing * r.c);
      }
      if (zigzag.length > 2) pen.add(zigzag);
    }
    pen.strokePath("air", 1.8);
  } else if (!nose && now.breath > 0.5) {
    for (const r of rays(6, 17, length)) pen.add([r.x, r.y, r.ex, r.ey]);
    pen.strokePath("air", 1.8, { opacity: now.breath, dash: [3, 3] });
  } else {
    const opacity = limited(flow / 60 - 0.3), fan = rays(3, nose ? 9 : 11, length);
    for (const r of fan) pen.add([r.x, r.y, r.ex, r.ey]);
    pen.strokePath("air", 1.8, { opacity });
    ctx.beginPath();
    for (const r of fan) arrowhead(pen, r.ex, r.ey, Math.atan2(r.s, r.c), 2.3);
    pen.strokePath("air", 2.2, { opacity });
  }
}

// Air past the sides of the tongue, which the midline does not show: dotted lines across it.
function drawBeside(pen, shape, lines) {
  const { lines: organs, now } = shape, tongue = organs.tongue, run = lengthsOf(tongue), whole = run[run.length - 1];
  let tip = 0;
  for (let i = 0; i < run.length && run[i] < 0.75 * whole; i++) if (tongue[2 * i] < tongue[2 * tip]) tip = i;
  const t = [tongue[2 * tip], tongue[2 * tip + 1]], up = foremost(organs.upper_lip), low = foremost(stretch(organs.lower_lip, 0, 0.75));
  const gate = [(up[0] + low[0]) / 2, (up[1] + low[1]) / 2], from = lines[1].line.slice(-2), ends = [];
  pen.ctx.beginPath();
  for (const lift of [-2, 0, 2]) {
    const line = [from[0] + 9, from[1] - 5.5 + lift, t[0] + 2, t[1] - 6 + lift, (t[0] + gate[0]) / 2,
      (t[1] + gate[1]) / 2 - 1.5 + 0.8 * lift, gate[0], gate[1] + 0.4 * lift - 0.5];
    pen.add(line);
    ends.push(line.slice(-2));
  }
  pen.strokePath("air", 2.1, { dash: [0.6, 1.3], casing: 2.1 });
  drawOutflow(pen, shape, ends, false);
  return now;
}

function drawAirMarks(pen, shape, air, few) {
  const { now, walls } = shape, shares = few ? FEW_LINES : LINES;
  const ends = (lines) => lines.map(({ line }) => line.slice(-2));
  if (air.foldsShut) {
    drawDots(pen, shape, air, 1);
    return;
  }
  if (air.shut && !air.nose && now.pressure >= LIMITS.pressure_share) {
    drawDots(pen, shape, air, now.pressure);
    drawLines(pen, shape, mouthLines(rowsBehind(shape, air), shares), limited(now.glottis / 100), true);
  }
  if (air.nose) {
    const lines = noseLines(shape, !air.mouth || air.shut, few);
    drawLines(pen, shape, lines, air.nose, false);
    drawOutflow(pen, shape, ends(lines), true);
  }
  if (air.mouth && !air.shut) {
    const lines = mouthLines(air.sides ? walls.slice(0, air.seam + 1) : walls, shares);
    drawLines(pen, shape, lines, air.mouth, false);
    if (air.sides) drawBeside(pen, shape, lines);
    else drawOutflow(pen, shape, ends(lines), false);
  }
}

function drawContact(pen, shape, drift) {
  const organs = new Set(shape.closed);
  if (shape.now.sides >= LIMITS.sides_share) organs.add("coronal");
  for (const organ of organs) {
    const [from, to] = shape.touch(organ);
    if (from !== from) continue;
    const line = stretch(shape.lines[organ === "lips" ? "upper_lip" : "tongue"], from, to);
    pen.stroke(line, "contact_edge", 8.6);
    pen.stroke(line, "contact", 5.3);
    if (shape.closed.length && shape.now.voice > LIMITS.voice_share) drawFelt(pen, shape, organ, line, drift);
  }
}

const FELT = { lips: [[-13, 5.5], [-13, -6]], coronal: [[-1, -9], [3, -10]], dorsal: [[-17, -3.5], [8, -16]] };

function drawFelt(pen, shape, organ, line, drift) {
  const run = lengthsOf(line), [x, y] = pointAt(line, run, run[run.length - 1] / 2);
  pen.ctx.beginPath();
  for (const [dx, dy] of FELT[organ]) wave(pen, x + dx, y + dy, drift, true, 6);
  pen.strokePath("voice", 2.2, { casing: 3, opacity: shape.now.voice });
}

function wave(pen, x, y, drift, upright, length) {
  const line = [];
  for (let i = 0; i <= 30; i++) {
    const a = 1.1 * Math.sin(2 * Math.PI * ((2.5 * i) / 30 - drift)), b = (i / 30 - 0.5) * length;
    line.push(x + (upright ? a : b), y + (upright ? b : a));
  }
  pen.add(line);
}

function drawVoice(pen, shape, drift) {
  const { now, folds } = shape, { height, front, rear } = folds, ctx = pen.ctx;
  if (now.folds <= LIMITS.folds_mm) {
    pen.stroke([front - 0.3, height, rear + 0.3, height], "ink", 6.3, { cap: "butt" });
    pen.stroke([front - 0.3, height, rear + 0.3, height], now.voice > LIMITS.voice_share ? "voicetint" : "mover", 3.3, { cap: "butt" });
  } else {
    ctx.beginPath();
    pen.add([front - 0.5, height, front + 1.6, height]);
    pen.add([rear - 1.6, height, rear + 0.5, height]);
    pen.strokePath("ink", 4.3, { cap: "butt" });
    pen.stroke([front + 2.6, height, rear - 2.4, height], "ink", 2, { dash: [0.1, 1.6] });
  }
  if (now.voice <= 0.05) return;
  ctx.beginPath();
  const count = 1 + Math.round(2 * now.voice), middle = (front + rear) / 2;
  for (let k = 0; k < count; k++) wave(pen, middle, height + 3.2 + 3.1 * k, drift, false, (rear - front) * (0.86 - 0.05 * k));
  pen.strokePath("voice", 2.8, { casing: 3, opacity: now.voice });
  const skin = shape.lines.chin_neck;
  let neck = 0;
  for (let i = 0; i < skin.length; i += 2) if (Math.abs(skin[i + 1] - height + 1) < Math.abs(skin[neck + 1] - height + 1)) neck = i;
  ctx.beginPath();
  for (let k = 0; k < 2; k++) wave(pen, skin[neck] - 3 - 2.6 * k, skin[neck + 1] + 1, drift, true, 8 - 1.6 * k);
  pen.strokePath("voice", 2.8, { opacity: now.voice });
}

// One side view: `shape`, and with `other` the two laid over each other; `level` is the pressure that is shown.
function drawSide(canvas, shape, { other = null, level = null, drift = 0, colours }) {
  const ratio = window.devicePixelRatio || 1, w = canvas.clientWidth, h = canvas.clientHeight;
  if (!w || !h) return;
  const pw = Math.round(w * ratio), ph = Math.round(h * ratio), ctx = canvas.getContext("2d");
  if (canvas.width !== pw || canvas.height !== ph) {
    canvas.width = pw;
    canvas.height = ph;
  }
  ctx.setTransform(1, 0, 0, 1, 0, 0);
  ctx.fillStyle = colours.panel;
  ctx.fillRect(0, 0, pw, ph);
  const scale = setView(ctx, w, h, ratio), pen = new Pen(ctx, scale, colours), few = w < 420, air = airOf(shape);
  const held = air.foldsShut ? 1 : air.shut && !air.nose ? shape.now.pressure : 0;
  const shown = Math.max(held >= LIMITS.pressure_share ? held : 0, level || 0);
  drawOrgans(pen, shape, other ? () => {} : () => drawPressure(pen, shape, air, shown), pw >= 420, canvas);
  if (other) drawOverlay(pen, shape, other);
  else drawAirMarks(pen, shape, air, few);
  drawContact(pen, shape, drift);
  if (other) drawContact(pen, other, drift);
  else drawVoice(pen, shape, drift);
}
