// Written by tests/screens/layoutscript.py from the tablet's layout. Change that.

const range = (from, to) => Array.from({ length: Math.max(0, to - from) }, (_, place) => from + place);
const most = (list, key) => list.reduce((best, one) => key(one) > key(best) ? one : best);
const mod = (one, other) => ((one % other) + other) % other;
const two = number => (number < 10 ? "0" : "") + number;
const first = (list, other) => list.length ? list[0] : other;
const zip = (one, other) => Array.from(one).map((each, place) => [each, other[place]]);
const dict = pairs => pairs.reduce((made, [key, value]) => { made[key] = value; return made; }, {});
const but = (one, values) => Object.assign(Object.create(Object.getPrototypeOf(one)), one, values);
const CAP = 0.75;
const TIER_1_M = 8;
const LINE = 1.4;
const PITCH = 1.62;
const FOOT = 0.35;
const BOLD = ["distance", "tight"];
const GAP = 0.75;
const MARK = 1.3;
const CAPITALS = 1.7;
const BAR = 0.34;
const NUMERALS = 5;
const ROPE_MM = 1.1;
const ROPE_SHARE = 0.07;
const WALL_MM = 1.3;
const DIGITS = ["0", "1", "2", "3", "4", "5", "6", "7", "8", "9"];
const BREAKS = /\x20(?![/–×])/;
const PLACES = ["next", "distance", "repeat", "round", "with", "now", "present", "detail", "swum", "tight", "cue"];
const UPPER = ["next", "distance", "now", "present"];
const KINDS = [{ texts: 3, ribbon: "labels", needs: 7.6, dart: 0.5, strips: 2 }, { texts: 2, ribbon: "labels", needs: 6.1, dart: 0.5, strips: 2 }, { texts: 2, ribbon: "bar", needs: 4.2, dart: 0.33, strips: 2 }, { texts: 2, ribbon: "slim", needs: 3.68, dart: 0.2, strips: 2 }, { texts: 2, ribbon: "slim", needs: 3.32, dart: 0.2, strips: 1 }, { texts: 1, ribbon: "bar", needs: 2.85, dart: 0.33, strips: 2 }, { texts: 1, ribbon: "slim", needs: 2.35, dart: 0.18, strips: 2 }, { texts: 1, ribbon: "slim", needs: 2.05, dart: 0.25, strips: 1 }, { texts: 1, ribbon: "", needs: 1.62, dart: 0.2, strips: 1 }];
class Box {
  constructor(x, y, width, height) { Object.assign(this, { x, y, width, height }); }
  get right() {
    return this.x + this.width;
  }
  get top() {
    return this.y + this.height;
  }
  inset(a, b = null) {
    b = b === null ? a : b;
    return new Box(this.x + a, this.y + b, Math.max(0, this.width - 2 * a), Math.max(0, this.height - 2 * b));
  }
  part(a, b) {
    return new Box(this.x + a * this.width, this.y, (b - a) * this.width, this.height);
  }
  row(a, b) {
    return new Box(this.x, this.y + a * this.height, this.width, (b - a) * this.height);
  }
}
function whole(a) {
  let b, c;
  [b, c] = [Math.round(a.x), Math.round(a.y)];
  return new Box(b, c, Math.round(a.right) - b, Math.round(a.top) - c);
}
function lineBox(a, b, c, d) {
  return new Box(a, b - 0.35 * d, c, 1.4 * d);
}
function digitsWidth(a, b) {
  return Array.from(a).map(c => c === ":" ? 0.3 : 0.65).reduce((sum, one) => sum + one, 0) * b;
}
function fontSize(a) {
  return Math.max(1, Math.floor(a / 0.75 + 1e-06));
}
function characterMm(a, b = 20) {
  return 2000 * a * Math.tan(b / 60 * Math.PI / 180 / 2);
}
function distanceM(a, b = 20) {
  return a / characterMm(1, b);
}
class Glass {
  constructor(pxPerMm = 96 / 25.4, tier1M = 8, tier2M = 3, coachM = 1, hands = 1) { Object.assign(this, { pxPerMm, tier1M, tier2M, coachM, hands }); }
  px(a) {
    return a * this.pxPerMm;
  }
  get tier1Px() {
    return characterMm(this.tier1M) * this.pxPerMm;
  }
  get tier2Px() {
    return characterMm(this.tier2M) * this.pxPerMm;
  }
  get coachPx() {
    return characterMm(this.coachM) * this.pxPerMm;
  }
  unitPx(a, b) {
    return Math.min(this.coachPx * this.hands, Math.min(a, b) / 20);
  }
  readAtM(a) {
    return distanceM(a / this.pxPerMm);
  }
}
function rgb(a) {
  let b, c, d;
  [b, c, d] = [1, 3, 5].map(e => parseInt(a.slice(e, e + 2), 16) / 255);
  return [b, c, d];
}
function luminance(a) {
  let b, c, d;
  [b, c, d] = a.map(e => e <= 0.04045 ? e / 12.92 : ((e + 0.055) / 1.055) ** 2.4);
  return 0.2126 * b + 0.7152 * c + 0.0722 * d;
}
function contrast(a, b) {
  let c, d;
  [c, d] = [luminance(a), luminance(b)].slice().sort((a, b) => a - b);
  return (d + 0.05) / (c + 0.05);
}
function countDown(a) {
  return a < 60 ? String(a) : countUp(a);
}
function countUp(a) {
  let b;
  [b, a] = [Math.floor(a / 60), mod(a, 60)];
  if (b < 60) {
    return "" + b + ":" + two(a);
  }
  return "" + Math.floor(b / 60) + ":" + two(mod(b, 60)) + ":" + two(a);
}
function secondsToGo(a) {
  return -Math.floor(-a / 1000);
}
function clockReading(a, b = 0) {
  return ":" + two(mod(Math.floor((a + b) / 1000), 60));
}
function linesHeight(a, b) {
  return (1.4 + (a - 1) * 1.62) * b;
}
function fit(a, b, c, d, e, f = false, g = 1) {
  let h, i, j;
  for (h of a) {
    i = fitWay_(h, b, c, d, e, f, g);
    if (i) {
      return i;
    }
  }
  for (h of shortened(a[a.length - 1])) {
    i = fitWay_(h, b, c, d, e, f, g);
    if (i) {
      return i;
    }
  }
  j = most([a[a.length - 1], ...shortened(a[a.length - 1]).slice(-1)].map(k => largest_(k, b, c, d, e, f, g)), k => k.cap);
  return but(j, { small: true });
}
function fitWay_(a, b, c, d, e, f, g) {
  let h;
  h = largest_(a, b, c, d, e, f, g);
  return h.cap >= Math.min(e, d) - 0.01 ? h : null;
}
function largest_(a, b, c, d, e, f, g) {
  let h, i, j, k, l;
  h = null;
  for (i of range(1, g + 1)) {
    j = wrapped(a, i, f);
    if (j === null) {
      break;
    }
    k = Math.min(d, c / (1.4 + (i - 1) * 1.62));
    l = Math.max(...j.map(m => measure(m, k, f)));
    while (l > b && k > 1) {
      k = Math.min(k * b / l, k - 0.5);
      l = Math.max(...j.map(m => measure(m, k, f)));
    }
    if (h === null || k > h.cap * (h.cap >= e - 0.01 ? 1.25 : 1)) {
      h = { lines: j, cap: k, small: false };
    }
  }
  return h;
}
function wrapped(a, b, c) {
  let d, e, f, g, h, i, j;
  d = a.split(BREAKS);
  if (b > d.length) {
    return null;
  }
  if (b === 1) {
    return [a];
  }
  e = 50;
  f = d.map(k => measure(k, e, c));
  g = measure(" ", e, c);
  [h, i] = [Math.max(...f), f.reduce((sum, one) => sum + one, 0) + g * d.length];
  while (i - h > 1) {
    j = (h + i) / 2;
    if (rows_(d, f, g, j).length <= b) {
      i = j;
    } else {
      h = j;
    }
  }
  return rows_(d, f, g, i);
}
function rows_(a, b, c, d) {
  let e, f, g, h, i;
  e = [];
  f = [];
  g = 0;
  for ([h, i] of zip(a, b)) {
    if (f.length && g + c + i > d) {
      e.push(f.join(" "));
      [f, g] = [[], 0];
    }
    g += i + (f.length ? c : 0);
    f.push(h);
  }
  e.push(f.join(" "));
  return e;
}
function shortened(a) {
  let b, c, d;
  const yielded = [];
  b = a.split(" ");
  for (c of b) {
    d = most(range(0, b.length), e => b[e].length * (b[e].slice(0, 1) > "9"));
    if (b[d].length <= 6 || b[d].endsWith(".")) {
      break;
    }
    b[d] = cut_(b[d]);
    yielded.push(b.join(" "));
  }
  while (b.length > 1) {
    b.pop();
    yielded.push(b.join(" ") + "…");
  }
  return yielded;
}
function cut_(a) {
  return a.slice(0, 4) + ".";
}
function filled(a, b, c, d) {
  let e, f, g, h, i, j, k, l, m;
  e = {};
  f = b + d;
  g = a.filter(n => n.ways && n.ways[0]).slice().sort((a, b) => (n => n.rank)(a) - (n => n.rank)(b));
  for (h of g) {
    i = measure(h.ways[h.ways.length - 1], c, h.bold) + d;
    if (i <= f) {
      e[h.name] = h.ways.length - 1;
      f -= i;
    }
  }
  for (h of g) {
    if (!(h.name in e)) {
      continue;
    }
    j = measure(h.ways[e[h.name]], c, h.bold);
    for ([k, l] of h.ways.slice(0, e[h.name]).map((each, place) => [place, each])) {
      m = measure(l, c, h.bold) - j;
      if (m <= f) {
        e[h.name] = k;
        f -= m;
        break;
      }
    }
  }
  return dict(a.filter(n => (n.name in e)).map(n => [n.name, n.ways[e[n.name]]]));
}
function placed(a, b, c, d) {
  let e, f, g, h, i, j, k, l, m, n, o, p;
  e = b.length;
  f = b.map(q => ({}));
  g = b.map(q => q + 0.75 * c);
  h = {};
  i = {};
  j = function (q, r) {
    return measure(r, c, BOLD.includes(q)) + (0.75 + (q === "tight" ? 1.3 : 0)) * c;
  };
  for ([k, l] of a) {
    if (!l || k === "detail" && f.some(q => (q["present"] || "").endsWith(", " + l))) {
      continue;
    }
    m = j(k, l);
    if ((k in h)) {
      n = h[k];
      if (k === "cue" || m - i[k] > g[n]) {
        continue;
      }
      g[n] += i[k];
    } else {
      o = ["now", "next"].includes(k) ? [(h["present"] || 0)] : homes_(k, e, d);
      p = o.filter(q => m <= g[q]);
      if (!p.length) {
        continue;
      }
      n = p[0];
    }
    [h[k], i[k], f[n][k]] = [n, m, l];
    g[n] -= m;
  }
  return f.map(q => dict(PLACES.filter(n => (n in q)).map(n => [n, q[n]])));
}
function homes_(a, b, c) {
  if (a === "cue") {
    return range(0, b).slice().reverse();
  }
  if (b === 1 || c || UPPER.includes(a)) {
    return range(0, b);
  }
  return [1, ...range(2, b), 0];
}
function withoutTwoDistances(a) {
  let b, c, d;
  b = (a["distance"] || "");
  c = PLACES.filter(e => (e in a) && !["next", "distance"].includes(e));
  if (!b) {
    return a;
  }
  if (!c.length || c[0] !== "present") {
    d = b.endsWith(":") ? b.slice(0, -1) : b;
    return dict(PLACES.filter(e => (e in a)).map(e => [e, e === "distance" ? d : a[e]]));
  }
  if (b.endsWith(":") || b.slice(-3, -2) === ":" || !DIGITS.includes(a["present"][0])) {
    return a;
  }
  return dict(PLACES.filter(e => (e in a) && e !== "distance").map(e => [e, a[e]]));
}
function needs_(a, b) {
  return a.needs + a.strips * Math.max(0, 5 / b - a.dart);
}
function bandRows(a, b, c, d) {
  let e, f, g, h, i, j, k;
  e = Math.max(c, Math.min(c * 2, a / (b < 11 * c ? 38 : 26)));
  f = first(KINDS.filter(l => b >= needs_(l, c) * c), null);
  g = f ? Math.min(b / needs_(f, c), e) : Math.min(c, b / KINDS[KINDS.length - 1].needs, (b - 5 - 2) / (1.4 + 0.04));
  h = 2 * d;
  if (f && g > c) {
    g = Math.min(g, Math.max(c, (b - f.strips * h) / (f.needs - f.strips * f.dart)));
  }
  f = f || KINDS[KINDS.length - 1];
  i = b >= 5 * g ? 3 : b >= 2.85 * g ? 2 : 1;
  j = Math.max(0, b - f.needs * g);
  k = f.dart * g + (f.ribbon ? 0.1 : 0.35) * j;
  k = Math.max(k, Math.min(h, f.dart * g + 0.45 * j));
  return { unit: g, deckRows: i, texts: f.texts, ribbon: f.ribbon, dart: Math.max(5, Math.min(k, 5 * d)), strips: f.strips };
}
function headerOf(a, b, c, d) {
  let e, f, g, h, i;
  e = (0.35 + 0.22) * c;
  f = e + (1.5 + 1 + 0.42) * c;
  if ((b - f) / Math.max(1, d) < 4.2 * c) {
    g = e + (0.3 + 1.5) * c;
    h = (b - g) / Math.max(1, d) >= 1.9 * c ? (1.5 - 1) * c : 0;
    return { height: e + 1.3 * c + h, rows: 1, lower: e, upper: e + h, third: e };
  }
  if (a < 34 * c) {
    i = e;
    e += 1.5 * 1.08 * c;
    return { height: e + (1.5 + 1.42) * c, rows: 3, lower: e, upper: e + 1.5 * c, third: i };
  }
  return { height: f, rows: 2, lower: e, upper: e + 1.5 * c, third: e };
}
function headerClock(a, b, c) {
  let d;
  d = b.upper - b.lower + c;
  return new Box(a.x + 0.5 * c, a.y + b.lower, digitsWidth(":88", fontSize(d)), d);
}
function headerLines(a, b, c, d) {
  let e;
  e = b.rows === 1 ? oneRow_ : twoRows_;
  return e(a, b, c, d);
}
function oneRow_(a, b, c, d) {
  let e, f, g, h, i, j, k, l, m, n, o, p, q, r, s, t, u, v, w, x;
  e = headerClock(a, b, c);
  f = e.y;
  [g, h] = [a.right - 0.5 * c, e.right + 1.1 * c];
  i = [];
  j = d.begun ? d.short : d.label;
  [k, l] = [measure(j, c) + 0.4 * c, timeWidth_(d, c) + c];
  m = [{ name: "out", ways: [d.out], rank: 0, bold: true }, { name: "whose", ways: d.whose, rank: d.over ? 2 : 1, bold: false }, { name: "spare", ways: d.spare, rank: d.over ? 1 : 2, bold: false }];
  n = g - h - k - l;
  o = filled(m, n - measure(d.section, c, true) - c, c, c);
  if (d.over && !("spare" in o)) {
    p = filled(m, n, c, c);
    o = ("spare" in p) ? p : o;
  }
  q = !("out" in o) || d.over && !("spare" in o) && d.spare.length > 0;
  r = d.begun && d.timed && q;
  if (r) {
    [k, l] = [0, 0];
    o = filled(m, g - h, c, c);
  }
  s = (o["whose"] || "");
  put_(i, c, { name: "whose", text: s, x: e.right + 0.4 * c, base: f, width: g, bold: false, across: "left", flips: false });
  h += s ? measure(s, c) + 0.4 * c : 0;
  if (k) {
    put_(i, c, { name: "session label", text: j, x: h, base: f, width: k, bold: false, across: "left", flips: false });
  }
  h += k;
  t = d.timed && !r ? new Box(h, f, timeWidth_(d, c) + 1, c) : null;
  h += r ? 0 : putTime_(i, c, d, h, f, g - h) + c;
  u = g;
  for (v of ["spare", "out"]) {
    w = (o[v] || "");
    x = measure(w, c, v === "out");
    put_(i, c, { name: v, text: w, x: g - x, base: f, width: x, bold: v === "out", across: "left", flips: true });
    g -= x + (w ? c : 0);
  }
  put_(i, c, { name: "section", text: d.section, x: h, base: f, width: g - h, bold: true, across: "left", flips: false });
  return { lines: i, time: t, warning: warning_(a, b, c, d, g + c, u) };
}
function twoRows_(a, b, c, d) {
  let e, f, g, h, i, j, k, l, m, n, o, p, q, r, s, t, u, v, w, x;
  e = headerClock(a, b, c);
  [f, g] = [a.y + b.upper, e.y];
  [h, i] = [e.right + 1.1 * c, a.right - 0.5 * c];
  j = [];
  k = spare_(b, c, d, i - h);
  l = Math.max(measure(d.out, c, true), measure(k, c));
  put_(j, c, { name: "out", text: d.out, x: i - l, base: f, width: l, bold: true, across: "right", flips: true });
  put_(j, c, { name: "spare", text: k, x: i - l, base: g, width: l, bold: false, across: "right", flips: true });
  m = warning_(a, b, c, d, i - l, i);
  i -= l + 1.1 * c;
  n = d.whose[0].split(" ");
  l = Math.max(...n.map(y => measure(y, c)));
  o = measure(d.begun ? d.short : d.label, c);
  p = b.rows === 2 ? measure(d.section, c, true) : 0;
  q = n.length === 2 && h + l + o + p + 2.2 * c <= i;
  if (q) {
    put_(j, c, { name: "whose", text: n[0], x: h - 0.5 * c, base: f, width: l, bold: false, across: "left", flips: false });
    put_(j, c, { name: "whose below", text: n[1], x: h - 0.5 * c, base: g, width: l, bold: false, across: "left", flips: false });
    h += l + 0.6 * c;
  }
  r = d.timed ? new Box(h, g, timeWidth_(d, c) + 1, c) : null;
  s = putTime_(j, c, d, h, g, i - h);
  t = d.begun ? [d.label, d.short] : [d.label];
  u = i - h - (b.rows === 3 ? 0 : measure(d.title, c) + 1.1 * c);
  v = first(t.filter(y => measure(y, c) <= u), t[t.length - 1]);
  put_(j, c, { name: "session label", text: v, x: h, base: f, width: i - h, bold: false, across: "left", flips: false });
  h += Math.max(measure(v, c), s) + 1.1 * c;
  if (b.rows === 2) {
    put_(j, c, { name: "section", text: d.section, x: h, base: g, width: i - h, bold: true, across: "left", flips: false });
    put_(j, c, { name: "title", text: d.title, x: h, base: f, width: i - h, bold: false, across: "left", flips: false });
    return { lines: j, time: r, warning: m };
  }
  [w, h, i] = [a.y + b.third, a.x + 0.5 * c, a.right - 0.5 * c];
  p = Math.min(measure(d.section, c, true), i - h);
  if (!q) {
    x = first(d.whose.filter(y => h + measure(y, c) + c + p <= i), "");
    put_(j, c, { name: "whose", text: x, x: h, base: w, width: measure(x, c), bold: false, across: "left", flips: false });
    h += x ? measure(x, c) + c : 0;
  }
  put_(j, c, { name: "section", text: d.section, x: h, base: w, width: p, bold: true, across: "left", flips: false });
  put_(j, c, { name: "title", text: d.title, x: h + p + c, base: w, width: i - h - p - c, bold: false, across: "left", flips: false });
  return { lines: j, time: r, warning: m };
}
function put_(a, b, c) {
  let d;
  d = measure(c.text, b, c.bold);
  if (!c.text || d > c.width + 0.5) {
    return 0;
  }
  a.push(c);
  return d;
}
function timeWidth_(a, b) {
  return a.timed ? digitsWidth(a.session, fontSize(b)) : measure(a.session, b, true);
}
function putTime_(a, b, c, d, e, f) {
  if (c.timed) {
    return timeWidth_(c, b);
  }
  return put_(a, b, { name: "session word", text: c.session, x: d, base: e, width: f, bold: true, across: "left", flips: false });
}
function warning_(a, b, c, d, e, f) {
  let g, h;
  if (!d.over) {
    return null;
  }
  g = 0.3 * c;
  h = b.rows < 3 ? a.y : a.y + b.lower - 0.45 * c;
  return new Box(e - g, h, f - e + 2 * g, a.top - h);
}
function spare_(a, b, c, d) {
  let e, f, g, h, i;
  e = measure(c.begun ? c.short : c.label, b);
  [f, g] = [0, 0];
  if (a.rows === 2) {
    f = measure(c.section, b, true) + 1.1 * b;
    g = Math.max(...c.whose[0].split(" ").map(j => measure(j, b))) + 0.6 * b;
  }
  h = d - Math.max(timeWidth_(c, b), e) - f - g - 2.2 * b;
  i = c.over && c.spare.length > 0 ? c.spare[c.spare.length - 1] : "";
  return first(c.spare.filter(j => measure(j, b) <= h), i);
}
function laneBoxes(a, b, c, d, e, f = [0, 0]) {
  let g;
  g = a.width >= 1.1 * a.height ? landscape_ : portrait_;
  return g(a, b.unitPx(a.width, a.height), c && d, d, e, f);
}
function landscape_(a, b, c, d, e, f) {
  let g, h, i, j, k, l, m, n, o, p, q, r, s, t, u, v, w, x, y, z, aa, ab, ac, ad, ae, af, ag, ah, ai, aj, ak, al, am, an, ao, ap, aq, ar, as, at, au, av, aw, ax, ay, az, ba;
  [g, h] = [a.width, a.height];
  i = 0.018 * h;
  j = 1.6 * b;
  k = c ? 0.11 * h : 0;
  l = d ? (c ? 0.15 : 0.19) * h : 0;
  m = j + (c ? k + i : 0) + (d ? l + i : 0);
  n = new Box(a.x, a.y + m, g, h - m);
  o = Math.max(n.y, a.y + f[1]);
  p = new Box(n.x, o, Math.max(0.15 * g, f[0]), n.top - o);
  q = Math.min(0.3 * n.height, 0.62 * p.width);
  r = p.inset(0.06 * p.width, 0.06 * n.height);
  s = new Box(r.x, r.y, r.width, q);
  t = new Box(r.x, s.top + 0.04 * n.height, r.width, r.top - s.top - 0.04 * n.height);
  u = (f[0] ? 0.19 : 0.215) * g;
  v = new Box(a.right - u, n.y, u - i, n.height).inset(0, i);
  [w, x] = f[0] ? [0.5, 1.3] : [1, 2.5];
  y = new Box(p.right + w * i, n.y, v.x - p.right - x * i, n.height).inset(0, i);
  z = b;
  aa = 1.4 * z;
  ab = 0.195 * y.height;
  ac = y.height - 1.12 * y.width * 0.75 / (3 * 0.65 + 0.3);
  ad = f[0] ? Math.max(ab, Math.min(ac, 0.35 * y.height)) : ab;
  ae = new Box(y.x, y.top - ad, y.width, ad);
  af = 1 - (0.7 * measure(TABLET.words["leaves in"], b) + 2.2 * b + i) / ae.width;
  ag = capitals_(ae.part(0, f[0] ? Math.max(0.56, Math.min(0.8, af)) : 0.56));
  ah = ag.right + 0.8 * b;
  ai = new Box(ah, ae.y, y.right - ah - (f[0] ? 0.6 * i : 0), ae.height);
  aj = new Box(y.x, y.y, y.width, ae.y - y.y - (c ? 0.035 : 0.06) * n.height);
  ak = e ? Math.max(0.2 * v.height, 3.1 * b) : 0;
  [al, am] = [0.02 * v.height, 0.2 * b];
  an = Math.min((v.height - ak) / 2 - aa - al - am, v.width / 2.2);
  ao = new Box(v.x, v.top - aa - am - an, v.width, an);
  ap = new Box(v.right - 2.2 * an, v.y, 2.2 * an, an);
  aq = new Box(v.x, ap.top + am, v.width, aa);
  ar = new Box(v.x, aq.top + al, v.width, ao.y - aq.top - 2 * al);
  as = Math.min(measure(TABLET.words["swum short"], b) + 0.4 * b, v.width - digitsWidth("88:88", fontSize(b)));
  at = Math.max(b, Math.min(0.72 * an, 0.6 * ar.height));
  au = ar.y + (ar.height - at) / 2;
  av = new Box(v.x, au - 0.35 * z, as, aa);
  ah = f[0] ? p.right + i : a.x + 2 * i;
  aw = a.right - 2 * i - ah;
  ax = new Box(ah, a.y, aw, j);
  ay = a.y + j;
  az = c ? new Box(ah, ay, aw, k) : null;
  ay += k + (c ? i : 0);
  ba = d ? new Box(ah, ay, aw, l) : null;
  return { block: p, number: t, shape: s, word: ag, said: ae, hero: aj, heroWord: capitals_(aj), heroLabel: ai, rule: new Box(v.x - i, v.y, Math.max(2, 0.003 * h), v.height), leaveLabel: new Box(v.x, v.top - aa, v.width, aa), leave: ao, nowLabel: aq, now: ap, leavers: e ? ar : null, swumLabel: e ? av : null, swum: e ? new Box(v.x + as, au, v.width - as, at) : null, segment: ba && ba.row(0.16, 1), ribbon: ba && ba.row(0, 0.1), cue: az, footLeft: ax.part(0, 0.5), footRight: ax.part(0.52, 1), nowAcross: "right", total: ao, labelCap: z, clockCap: an, leaversCap: Math.max(b, 0.3 * ar.height), swumCap: at, doingCap: l * 0.5, cueCap: 0.6 * k };
}
function portrait_(a, b, c, d, e, f) {
  let g, h, i, j, k, l, m, n, o, p, q, r, s, t, u, v, w, x, y, z, aa, ab, ac, ad, ae, af, ag, ah, ai, aj, ak, al, am, an;
  [g, h] = [a.width, a.height];
  i = 0.012 * h;
  j = 1.6 * b;
  k = c ? 0.095 * h : 0;
  l = d ? (c ? 0.125 : 0.18) * h : 0;
  m = e ? 0.075 * h : 0;
  n = Math.max((f[0] ? 0.125 : 0.105) * h, linesHeight(2, b));
  o = (f[0] ? 0.22 : 0.18) * h;
  p = new Box(a.x, a.top - o, g, o);
  q = new Box(p.x, p.y, (f[0] ? 0.27 : 0.36) * g, p.height);
  r = q.inset(0.06 * q.width, (f[0] ? 0.06 : 0.12) * p.height);
  s = new Box(q.right + i, p.y, g - q.width - 2 * i, p.height).inset(0, i);
  if (f[0]) {
    t = r.row(0, 0.26);
    r = r.row(0.31, 1);
  } else {
    t = new Box(r.x, r.y, 0.36 * r.width, r.height);
    r = new Box(t.right, r.y, r.width - t.width, r.height);
  }
  u = b;
  v = 1.4 * u;
  w = s;
  x = capitals_(new Box(s.x, s.y + v + 0.45 * b, s.width, s.height - v - 0.45 * b));
  y = new Box(s.x, s.y, s.width, v);
  z = function (ao, ap) {
    let aq;
    aq = a.x + (ao < a.y + f[1] ? f[0] : 2 * i);
    return new Box(aq, ao, a.right - 2 * i - aq, ap);
  };
  aa = a.y;
  ab = z(aa, j);
  aa += j + i;
  ac = c ? z(aa, k) : null;
  aa += k + (c ? i : 0);
  ad = d ? z(aa, l) : null;
  aa += l + (d ? i : 0);
  ae = e ? z(aa, m) : null;
  aa += m + (e ? i : 0);
  af = z(aa, n);
  [ag, ah] = [af.part(0, 0.48), af.part(0.52, 1)];
  ai = 4.6 * b;
  aa += n + i;
  aj = z(aa + i, p.y - aa - 3 * i);
  if (f[0] && aj.y >= a.y + f[1]) {
    aj = but(aj, { x: a.x + i / 2, width: g - i });
  }
  ak = 0.6 * m;
  al = ae ? ae.y + (ae.height - ak) / 2 : 0;
  am = ae ? new Box(ae.x, al - 0.35 * u, 0.3 * ae.width, v) : null;
  an = ae ? new Box(ae.x + 0.32 * ae.width, al, 0.68 * ae.width, ak) : null;
  return { block: q, number: r, shape: t, word: x, said: w, hero: aj, heroWord: capitals_(aj), heroLabel: y, rule: new Box(af.x, af.top + i / 2, af.width, Math.max(2, 0.002 * h)), leaveLabel: but(ag, { width: ai }), leave: but(ag, { x: ag.x + ai, width: ag.width - ai, height: n - i }), nowLabel: but(ah, { width: ai }), now: but(ah, { x: ah.x + ai, width: ah.width - ai, height: n - i }), leavers: ae, swumLabel: am, swum: an, segment: ad && ad.row(0.16, 1), ribbon: ad && ad.row(0, 0.1), cue: ac, footLeft: ab.part(0, 0.5), footRight: ab.part(0.52, 1), nowAcross: "left", total: ag, labelCap: u, clockCap: Math.min(n - i, (ag.width - ai) / 2.2), leaversCap: 0.6 * m, swumCap: ak, doingCap: l * 0.35, cueCap: 0.55 * k };
}
function capitals_(a) {
  return new Box(a.x, a.y - 0.35 * a.height, a.width, 1.7 * a.height);
}
function dialBoxes(a, b, c, d = [0, 0]) {
  let e, f, g, h, i, j, k, l, m, n, o, p, q, r, s, t, u, v, w, x, y, z, aa, ab, ac, ad, ae, af, ag;
  e = b.unitPx(a.width, a.height);
  if (a.width >= a.height) {
    f = Math.min(Math.max(0.26 * a.width, 12.3 * e), 0.46 * a.width);
    g = new Box(a.right - f, a.y, f, a.height);
    h = new Box(a.x + 0.35 * e, a.y, a.width - g.width - 0.35 * e, a.height);
    i = 1;
  } else {
    i = a.width >= 19 * e ? 2 : 1;
    j = -Math.floor(-c / i);
    k = Math.min(0.45 * a.height, 5.4 * e + j * 1.75 * e);
    k = Math.max(k, d[1]);
    g = new Box(a.x + d[0], a.y, a.width - d[0], k);
    h = new Box(a.x, g.top, a.width, a.height - k);
  }
  l = 2.1 * e;
  m = Math.min(h.height / 2 - l, (h.width / 2 - 3.75 * e) / 1.05);
  n = new Box(a.x, a.y, ...d);
  [o, m] = clearOf_(n, h, m, l, h.width / 2 - 3.75 * e);
  p = 0.155 * m;
  q = 0.6 * e;
  r = g.inset(q, 0.4 * e);
  s = 2 * e;
  f = 6 * e;
  t = new Box(r.x, r.top - s, f, s);
  if (i === 1 && a.width >= a.height) {
    u = new Box(r.x, t.y - 0.6 * e - 1.4 * e, r.width, 1.4 * e);
    v = new Box(r.x, u.y - 1.4 * e, 5.4 * e, 1.4 * e);
    w = new Box(v.right, v.y, r.right - v.right, 1.4 * e);
    x = new Box(t.x + 5.4 * e, t.y - 0.6 * e, r.width - 5.4 * e, (1.4 + 1.62) * e);
    y = v.y - 0.2 * e;
  } else {
    z = new Box(r.x + 6.2 * e, t.y, r.width - 6.2 * e, s);
    u = but(z.row(0.5, 1), { height: 1.4 * e });
    v = new Box(z.x, z.y - 0.45 * e, 5.4 * e, 1.4 * e);
    w = new Box(v.right, v.y, z.right - v.right, 1.4 * e);
    x = new Box(r.x, v.y - 1.45 * e, r.width, 1.4 * e);
    y = x.y - 0.05 * e;
  }
  aa = -Math.floor(-c / i);
  ab = 0.12 * e;
  k = Math.min(2.7 * e, (y - r.y - ab * (aa - 1)) / Math.max(1, aa));
  ac = (r.width - (i - 1) * e * 0.5) / i;
  ad = [];
  for (ae of range(0, c)) {
    [af, ag] = [Math.floor(ae / aa), mod(ae, aa)];
    ad.push(new Box(r.x + af * (ac + 0.5 * e), y - k - ag * (k + ab), ac, k));
  }
  return { unit: e, area: h, centre: o, radius: m, float: Math.max(5, 0.062 * m), numeralRadius: 0.76 * m, numeralCap: p, handLength: 0.95 * m, handWidth: Math.max(8, 0.11 * m), neck: 0.66 * m, clock: t, whose: x, section: u, label: w, session: v, rows: ad, corner: n };
}
function clearOf_(a, b, c, d, e) {
  let f, g, h, i, j;
  [f, g] = [b.x + b.width / 2, b.y + b.height / 2];
  while (c > d) {
    [h, i] = [c + d, g - a.top];
    j = a.width && i < h ? a.right + (h ** 2 - i ** 2) ** 0.5 : f;
    if (j <= f + Math.max(0, e - 1.05 * c)) {
      return [[Math.max(f, j), g], c];
    }
    c -= 1;
  }
  return [[f, g], c];
}
function chipBoxes(a, b, c) {
  let d, e, f, g, h, i;
  d = c.radius + 0.75 * c.float + 0.15 * c.unit;
  e = a.map(j => j * 6);
  for (f of range(0, 200)) {
    g = false;
    for (h of range(0, e.length)) {
      i = mod(h + 1, e.length);
      if (h === i) {
        break;
      }
      if (touch_(place_(e[h], b[h], c, d), place_(e[i], b[i], c, d), 0.15 * c.unit)) {
        e[h] -= 0.75;
        e[i] += 0.75;
        g = true;
      }
    }
    if (!g) {
      break;
    }
  }
  return zip(e, b).map(([j, k]) => place_(j, k, c, d));
}
function sizedChip(a, b, c) {
  let d, e, f, g, h;
  d = c.unit;
  e = Math.abs(Math.cos(b * Math.PI / 30)) > 0.7 ? 9 * d : 3 * d;
  f = 1;
  while (f < 4 && wrapped(a, f + 1, true) && Math.max(...(wrapped(a, f, true) || []).map(i => measure(i, d, true))) > e) {
    f += 1;
  }
  g = wrapped(a, f, true) || [a];
  h = Math.max(...g.map(i => measure(i, d, true))) + 0.6 * d;
  return { text: a, lines: f, width: Math.max(1.6 * d, h), height: (1.4 + (f - 1) * 1.62) * d + 0.3 * d };
}
function place_(a, b, c, d) {
  let e, f, g, h, i, j, k, l, m, n, o;
  e = a * Math.PI / 180;
  [f, g] = [b.width, b.height];
  h = d + Math.abs(Math.sin(e)) * f / 2 + Math.abs(Math.cos(e)) * g / 2;
  [i, j] = [c.centre[0] + h * Math.sin(e), c.centre[1] + h * Math.cos(e)];
  k = c.area;
  l = Math.min(Math.max(i - f / 2, k.x), k.right - f);
  m = Math.min(Math.max(j - g / 2, k.y), k.top - g);
  if (l < c.corner.right && m < c.corner.top) {
    [n, o] = [c.corner.right - l, c.corner.top - m];
    [l, m] = n < o ? [l + n, m] : [l, m + o];
  }
  return new Box(l, m, f, g);
}
function touch_(a, b, c) {
  return a.x < b.right + c && b.x < a.right + c && a.y < b.top + c && b.y < a.top + c;
}
function deckWidth(a, b, c, d) {
  let e, f, g, h, i, j;
  if (b.deckRows === 1) {
    return oneRow(a, b, d)[0];
  }
  e = b.unit;
  f = numberWidth(b, c, d);
  g = 1.45 * e;
  h = measure(":88", e, true);
  i = Math.max(...["ready", "paused"].map(k => measure(TABLET.words[k], e, true)));
  j = digitsWidth("8:88", fontSize(countCap(b, c))) + 0.7 * e;
  j = b.deckRows === 2 ? j + h : Math.max(j, measure("" + TABLET.words["leaves at"] + " :88", e));
  return Math.min(f + Math.max(g + i, j) + 1.3 * e, 0.5 * a);
}
function oneRow(a, b, c) {
  let d, e, f, g, h, i, j, k;
  d = b.unit;
  e = numberWidth(b, d, c) + 3.45 * d + digitsWidth("8:88", fontSize(d));
  e += measure(":88", d, true);
  f = e + Math.max(...["ready", "paused"].map(l => measure(TABLET.words[l], d, true))) + 0.4 * d;
  g = a < 21 * d ? 0.56 : 0;
  for ([h, i, j] of [[f, true, 0.53], [f, false, 0.53], [e, true, g]]) {
    k = h + (i ? atWidth(d) : 0);
    if (k < j * a) {
      return [k, i];
    }
  }
  return [Math.min(e, 0.62 * a), false];
}
function atWidth(a) {
  return measure(TABLET.words["at"], a) + 0.5 * a;
}
function numberCap(a, b) {
  return a.deckRows === 1 ? a.unit : Math.min(0.4 * b, 2.4 * a.unit);
}
function numberWidth(a, b, c) {
  return measure(a.deckRows === 1 ? c : "88", numberCap(a, b), true) + 0.6 * a.unit;
}
function countCap(a, b) {
  let c;
  if (a.deckRows === 1) {
    return a.unit;
  }
  c = b - (a.deckRows - 1) * a.unit;
  return Math.min(0.62 * c, Math.max(2.6 * a.unit, 0.4 * b));
}
function waterBoxes(a, b, c) {
  let d, e, f, g, h, i, j, k, l, m, n, o, p;
  d = c.unit;
  [e, f] = [b.x + 0.5 * d, b.right - 0.3 * d - b.x - 0.6 * d];
  g = Math.max(1, 0.12 * c.dart);
  [h, i] = [a.y + g, a.top - g - c.dart];
  [j, k] = [h + c.dart, i];
  if (c.strips === 1) {
    [i, k] = [h, a.top - g];
  }
  if (!c.ribbon) {
    l = j + 0.35 * d;
    return { outY: h, backY: i, ribbon: new Box(e, j, f, 0), bases: [l] };
  }
  m = (c.ribbon === "labels" ? 1.4 + 0.5 : c.ribbon === "bar" ? 0.34 : 0.2) * d;
  n = k - j - m - c.texts * d;
  o = Math.min(0.62 * d, Math.max((c.strips > 1 ? 0.46 : 0.43) * d, n / (c.texts + 1)));
  l = j + Math.max(0, n - c.texts * o) / 3;
  p = range(0, c.texts).map(q => l + m + o + (c.texts - 1 - q) * (d + o));
  return { outY: h, backY: i, ribbon: new Box(e, l, f, m), bases: p };
}
function deckBoxes(a, b, c, d, e) {
  let f, g, h, i, j, k, l, m, n, o, p, q, r, s, t;
  f = c.unit;
  g = but(b, { width: Math.max(4, 0.24 * f) });
  h = numberCap(c, b.height);
  i = c.deckRows === 1 ? e : b.y + (b.height - h) / 2;
  j = lineBox(g.right, i, numberWidth(c, b.height, d), h);
  [k, l] = [j.right + 0.25 * f, b.right - 0.65 * f];
  m = measure(":88", f, true);
  n = countCap(c, b.height);
  if (c.deckRows === 1) {
    o = digitsWidth("8:88", fontSize(n));
    p = oneRow(a.width, c, d)[1] ? atWidth(f) : 0;
    q = lineBox(l - m, i, m + 1, f);
    r = new Box(l - m - p - 0.4 * f - o, i, o, n);
    return { edge: g, number: j, numberCap: h, shape: new Box(k, i, f, f), word: lineBox(k + 1.45 * f, i, r.x - 0.3 * f - k - 1.45 * f, f), mark: q, at: p ? lineBox(q.x + 0.1 * f - p, i, p, f) : null, countDown: r, countCap: n, wait: lineBox(r.x, i, l - r.x, f) };
  }
  s = c.deckRows - 1;
  t = (b.height - s * f - n) / (s + 2);
  i = b.y + t;
  if (c.deckRows === 3) {
    q = lineBox(k, i, l - k, f);
    i += f + t;
    r = new Box(k, i, l - k, n);
  } else {
    q = lineBox(l - m, i, m + 1, f);
    r = new Box(k, i, l - m - 0.4 * f - k, n);
  }
  i += n + t;
  return { edge: g, number: j, numberCap: h, shape: new Box(k, i, f, f), word: lineBox(k + 1.4 * f, i, l - k - 1.4 * f, f), mark: q, at: null, countDown: r, countCap: n, wait: lineBox(k, r.y, l - k, f) };
}
function stateBoxes(a, b, c, d) {
  let e;
  e = d && c.deckRows > 1 ? a.y + (a.height - c.unit) / 2 - b.shape.y : 0;
  return [but(b.shape, { y: b.shape.y + e }), but(b.word, { y: b.word.y + e })];
}
