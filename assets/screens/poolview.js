// The pool view: the pool seen from above, its lanes as bands between their ropes.

// KINDS are the ways to divide a band, the fullest first: rows of text, ribbon, what all needs in character heights,
// a swimmer's height, strips.
const POOL = TABLET.pool, { kinds: KINDS, dart: LEAST_DART, seenMm: SEEN_MM, pitch: PITCH_HEAD, gap: GAP, mark: WARNING, glide: GLIDE_MS } = POOL;
const BOLD = ["distance", "tight"], UPPER = ["next", "distance", "now", "present"];
const PLACES = ["next", "distance", "repeat", "round", "now", "present", "detail", "swum", "tight", "cue"];
const BAR = 0.34, SLIM = 0.2;

function bandRows(width, height, least, pxPerMm) {
  const needs = (kind, unit) => kind[2] + kind[4] * Math.max(0, LEAST_DART / unit - kind[3]);
  const most = Math.max(least, Math.min(least * POOL.largest, width / (height < POOL.tall * least ? POOL.wide : POOL.spare)));
  let kind = KINDS.find(each => height >= needs(each, least) * least);
  let unit = kind ? Math.min(height / needs(kind, least), most)
    : Math.min(least, height / KINDS[KINDS.length - 1][2], (height - LEAST_DART - 2) / LINE);
  const seen = SEEN_MM * pxPerMm;
  if (kind && unit > least) unit = Math.min(unit, Math.max(least, (height - kind[4] * seen) / (kind[2] - kind[4] * kind[3])));
  kind = kind || KINDS[KINDS.length - 1];
  const spare = Math.max(0, height - kind[2] * unit);
  let dart = kind[3] * unit + (kind[1] ? 0.1 : 0.35) * spare;
  dart = Math.max(dart, Math.min(seen, kind[3] * unit + spare / 2));
  return { unit, deckRows: height >= 5 * unit ? 3 : height >= 2.85 * unit ? 2 : 1, texts: kind[0], ribbon: kind[1],
    dart: Math.max(LEAST_DART, Math.min(dart, 5 * pxPerMm)), strips: kind[4] };
}

function headerOf(width, height, unit, lanes) {
  let foot = (FOOT + 0.22) * unit;
  const twoRows = foot + (PITCH_HEAD + 1.42) * unit;
  if ((height - twoRows) / Math.max(1, lanes) < 4.2 * unit) return { height: foot + 1.3 * unit, rows: 1, lower: foot, upper: foot };
  if (width < 34 * unit) {
    const third = foot;
    foot += PITCH_HEAD * 1.08 * unit;
    return { height: foot + (PITCH_HEAD + 1.42) * unit, rows: 3, lower: foot, upper: foot + PITCH_HEAD * unit, third };
  }
  return { height: twoRows, rows: 2, lower: foot, upper: foot + PITCH_HEAD * unit };
}

const numberCap = (rows, height) => rows.deckRows === 1 ? rows.unit : Math.min(0.4 * height, 2.4 * rows.unit);
const numberWidth = (rows, height, widest) =>
  measure(rows.deckRows === 1 ? widest : "88", numberCap(rows, height), true) + 0.6 * rows.unit;
function countCap(rows, height) {
  if (rows.deckRows === 1) return rows.unit;
  return Math.min(0.62 * (height - (rows.deckRows - 1) * rows.unit), Math.max(2.6 * rows.unit, 0.4 * height));
}

// Width of a deck of one row, and how much of it "at" takes before the mark.
function oneRow(width, rows, widest) {
  const unit = rows.unit, words = TABLET.words, at = measure(TABLET.at, unit) + 0.5 * unit;
  const narrow = numberWidth(rows, unit, widest) + 3.45 * unit + digitsWidth("8:88", fontSize(unit)) + measure(":88", unit, true);
  const wide = narrow + Math.max(measure(words.ready, unit, true), measure(words.held, unit, true)) + 0.4 * unit;
  const ways = [[wide, at, 0.53], [wide, 0, 0.53], [narrow, at, width < 21 * unit ? 0.56 : 0]];
  const found = ways.find(way => way[0] + way[1] < way[2] * width);
  return found ? [found[0] + found[1], found[1]] : [Math.min(narrow, 0.62 * width), 0];
}

function deckWidth(width, rows, height, widest) {
  if (rows.deckRows === 1) return oneRow(width, rows, widest)[0];
  const unit = rows.unit, number = numberWidth(rows, height, widest), shape = 1.45 * unit, mark = measure(":88", unit, true);
  const word = Math.max(measure(TABLET.words.ready, unit, true), measure(TABLET.words.held, unit, true));
  let low = digitsWidth("8:88", fontSize(countCap(rows, height)));
  low += 0.7 * unit;
  low = rows.deckRows === 2 ? low + mark : Math.max(low, measure(TABLET.words.leaves + " :88", unit));
  return Math.min(number + Math.max(shape + word, low) + 1.3 * unit, 0.5 * width);
}

// What each row says of what is needed (what matters most first), with the room that `rooms` gives it.
// `labelled`: the ribbon says what is done.
function filledRows(card, rooms, unit, labelled) {
  const widest = Math.max.apply(null, rooms), made = rooms.map(() => ({})), room = rooms.map(wide => wide + GAP * unit);
  const found = {}, wide = {};
  const named = !card.unnamed || measure(card.name, unit) <= widest;
  let needs = named ? card.needs : card.unnamed;
  if (rooms.length === 1 && card.own_row) needs = needs.slice(0, needs.length - card.own_row);
  if (labelled) needs = needs.filter(need => ["present", "detail", "now"].indexOf(need[0]) < 0);
  const homes = item => {
    if (item === "now" || item === "next") return ["present" in found ? found.present : 0];
    const all = rooms.map((_, row) => row);
    if (item === "cue") return all.reverse();
    return rooms.length === 1 || labelled || UPPER.indexOf(item) >= 0 ? all : [1].concat(all.slice(2), [0]);
  };
  needs.forEach(need => {
    const item = need[0], way = need[1];
    if (!way || (item === "detail" && made.some(row => (row.present || "").slice(-way.length - 2) === ", " + way))) return;
    const takes = measure(way, unit, BOLD.indexOf(item) >= 0) + (GAP + (item === "tight" ? WARNING : 0)) * unit;
    let row = found[item];
    if (row !== undefined) {
      if (item === "cue" || takes - wide[item] > room[row]) return;
      room[row] += wide[item];
    } else {
      row = homes(item).find(each => takes <= room[each]);
      if (row === undefined) return;
    }
    found[item] = row;
    wide[item] = takes;
    made[row][item] = way;
    room[row] -= takes;
  });
  return made;
}

class PoolView {
  constructor(canvas, box, glass, theme, lanes, numbers) {
    Object.assign(this, { canvas, box, glass, theme });
    const unit = glass.unit(box.width, box.height), header = headerOf(box.width, box.height, unit, lanes);
    const pool = box.but({ height: Math.round(box.height - header.height) });
    this.ground = new Plate(canvas);
    this.ground.put(box, theme.ground);
    this.header = new PoolHeader(canvas, new Box(box.x, pool.top, box.width, header.height), header, unit, theme);
    const rope = Math.max(5, Math.min(glass.px(1.1), 0.1 * pool.height / Math.max(1, lanes)));
    const high = (pool.height - rope) / Math.max(1, lanes), rows = bandRows(box.width, high - rope, unit, glass.pxPerMm);
    const widest = "8".repeat(Math.max.apply(null, numbers.map(number => number.length).concat(1)));
    const deck = Math.round(deckWidth(box.width, rows, high - rope, widest)), left = pool.x + deck;
    new Plate(canvas).put(new Box(left, pool.y, pool.width - deck, pool.height), theme.water);
    for (let index = 0; index <= lanes; index++) {
      const at = new Plate(canvas);
      at.put(new Box(left, Math.round(pool.y + index * high), pool.width - deck, rope), "transparent");
      at.style({ background: "repeating-linear-gradient(90deg," + theme.rope + " 0 " + rope + "px,transparent " + rope +
        "px " + rope * 1.35 + "px)" });
    }
    this.bands = numbers.map((_, index) => {
      const y = pool.y + (lanes - 1 - index) * high, low = Math.round(y + rope);
      return new PoolBand(canvas, new Box(pool.x, low, pool.width, Math.round(y + high) - low), deck, rows, theme, widest);
    });
    const home = glass.px(1.3);
    new Plate(canvas).put(new Box(left - home, pool.y, home, pool.height), theme.rope);
    new Plate(canvas).put(new Box(pool.right - home / 2, pool.y, home / 2, pool.height), theme.rope);
  }
  show(parts, atMs, stale) {
    this.header.show(inForce(parts.pool, atMs), atMs);
    const glides = Math.floor(atMs / GLIDE_MS) * GLIDE_MS, moves = glides !== this.glides;
    this.glides = glides;
    this.bands.forEach((band, lane) => {
      band.show(inForce(parts["band " + lane], atMs), atMs, stale);
      if (!moves) return;
      const places = [];
      for (let cards; (cards = parts["swimmer " + lane + " " + places.length]);) {
        const card = inForce(cards, glides), left = (link.walls[lane] || [])[places.length];
        places.push(left !== null && left === card.left_ms ? card.way[card.way.length - 1][1] : placeOf(card, glides));  // touched
      }
      band.swim(places);
    });
  }
}

class PoolBand {
  constructor(canvas, box, deck, rows, theme, widest) {
    Object.assign(this, { canvas, box, rows, theme, widest });
    const words = name => new Words(canvas, name);
    this.deckBox = box.but({ width: deck });
    this.water = new Box(box.x + deck, box.y, box.width - deck, box.height);
    this.deck = new Plate(canvas);
    this.edge = new Plate(canvas);
    this.shape = new StateShape(canvas);
    this.number = words("number");
    this.word = words("state");
    this.count = new Digits(canvas, "count");
    this.mark = words("mark");
    this.leaves = words("leaves");
    this.cells = {};
    this.ribbon = new Ribbon(canvas);
    this.swum = new Digits(canvas, "swum", false);
    this.warning = new StateShape(canvas);
    this.swimmers = [];
    this.layWater();
    this.layDeck();
  }

  layWater() {
    const { rows, box, water } = this, unit = rows.unit, edge = Math.max(1, 0.12 * rows.dart);
    this.outY = box.y + edge;
    this.backY = rows.strips === 1 ? this.outY : box.top - edge - rows.dart;
    this.left = water.x + 0.5 * unit;
    this.wide = water.right - 0.3 * unit - water.x - 0.6 * unit;
    const low = box.y + edge + rows.dart, high = rows.strips === 1 ? box.top - edge : box.top - edge - rows.dart;
    const foot = { labels: (LINE + 0.5) * unit, bar: BAR * unit, slim: SLIM * unit, "": 0 }[rows.ribbon];
    if (!rows.ribbon) {
      this.bases = [low + Math.max(0, high - low - LINE * unit) / 2 + FOOT * unit];
      this.ribbonBox = new Box(this.left, low, this.wide, 0);
      return;
    }
    const room = high - low - foot - rows.texts * unit;
    const air = Math.min(0.62 * unit, Math.max((rows.strips > 1 ? 0.46 : 0.43) * unit, room / (rows.texts + 1)));
    const base = low + Math.max(0, room - rows.texts * air) / 3;
    this.ribbonBox = new Box(this.left, base, this.wide, foot);
    this.bases = [];
    for (let line = rows.texts - 1; line >= 0; line--) this.bases.push(base + foot + air + line * (unit + air));
  }

  layDeck() {
    const { rows, deckBox: box } = this, unit = rows.unit, edge = Math.max(4, 0.24 * unit), cap = numberCap(rows, box.height);
    this.edgeBox = box.but({ width: edge });
    let base = rows.deckRows === 1 ? this.bases[0] : box.y + (box.height - cap) / 2;
    this.numberCap = cap;
    this.numberBox = lineBox(box.x + edge, base, numberWidth(rows, box.height, this.widest), cap);
    let left = this.numberBox.right + 0.25 * unit;
    const right = box.right - 0.65 * unit, mark = measure(":88", unit, true), high = this.countCap = countCap(rows, box.height);
    if (rows.deckRows === 1) {
      const count = digitsWidth("8:88", fontSize(high)), at = oneRow(this.box.width, rows, this.widest)[1];
      this.shapeBox = new Box(left, base, unit, unit);
      this.markBox = lineBox(right - mark, base, mark + 1, unit);
      this.atBox = at && lineBox(this.markBox.x + 0.1 * unit - at, base, at, unit);
      this.countBox = new Box(right - mark - at - 0.4 * unit - count, base, count, high);
      left += 1.45 * unit;
      this.wordBox = lineBox(left, base, this.countBox.x - 0.3 * unit - left, unit);
      this.waitBox = lineBox(this.countBox.x, base, right - this.countBox.x, unit);
      return;
    }
    const lines = rows.deckRows - 1, air = (box.height - lines * unit - high) / (lines + 2);
    base = box.y + air;
    if (rows.deckRows === 3) {
      this.markBox = lineBox(left, base, right - left, unit);
      base += unit + air;
      this.countBox = new Box(left, base, right - left, high);
    } else {
      this.markBox = lineBox(right - mark, base, mark + 1, unit);
      this.countBox = new Box(left, base, right - mark - 0.4 * unit - left, high);
    }
    this.waitBox = lineBox(left, this.countBox.y, right - left, unit);
    base += high + air;
    this.shapeBox = new Box(left, base, unit, unit);
    this.wordBox = lineBox(left + 1.4 * unit, base, right - left - 1.4 * unit, unit);
  }

  show(card, atMs, stale) {
    const count = down(card.leave_ms, atMs), long = count.length > (this.rows.deckRows === 1 ? 4 : 5), swum = up(card.sent_ms, atMs);
    const said = String([long, Boolean(count), stale]);
    if (card !== this.card || said !== this.said) {
      Object.assign(this, { card, said, long: count ? long : null });
      this.write();
      [this.count, this.mark, this.leaves].forEach(piece => piece.style({ opacity: stale ? "0.45" : "1" }));
    }
    this.count.show(count);
    if (card.lit >= 0 && this.rows.ribbon) this.ribbon.show(doneOf(card, atMs));
    this.swum.show(this.hasSwum ? swum : "");
  }

  // The swimmers, a dart each: out on one side, back on the other, in a row where they wait.
  swim(places) {
    const { rows, water, swimmers } = this, high = Math.round(rows.dart), wide = Math.round(rows.dart * 1.7);
    const x = water.x + 2, way = water.right - 0.3 * rows.unit - x - wide;
    let home = 0, far = 0;
    places.forEach((place, number) => {
      const dart = swimmers[number] = swimmers[number] || new Shape(this.canvas), back = place >= 1 || place === -2;
      const from = place >= 0 ? (back ? 2 - place : place) * way : place === -1 ? 0.62 * wide * home++ : way - 0.62 * wide * far++;
      dart.fill("dart", new Box(x + Math.floor(from), Math.round(back ? this.backY : this.outY), wide, high), this.theme.swimmer);
      dart.style({ transform: back ? "scaleX(-1)" : "none", display: place === -3 ? "none" : "block" });
    });
  }

  write() {
    const { card, theme, rows } = this, unit = rows.unit, flip = card.state === "ready" || card.state === "go";
    const state = TABLET.states[card.state], ink = flip ? theme.on_state : theme.ink, dim = flip ? theme.on_state : theme.dim;
    this.deck.put(this.deckBox, flip ? state : theme.ground);
    this.edge.put(this.edgeBox, state);
    this.number.put(card.lane, this.numberBox, this.numberCap, unit, ink, { bold: true, across: "middle" });
    const alone = rows.deckRows > 1 && this.long === null && !card.clock && !card.leave_label;
    const up = alone ? this.box.y + (this.box.height - unit) / 2 - this.shapeBox.y : 0;  // beside the number
    this.shape.put(card.shape, this.shapeBox.but({ y: this.shapeBox.y + up }), ink);
    const roomy = this.wordBox.width >= measure(card.word, unit, true);
    const said = roomy && !(this.long && rows.deckRows === 1);
    if (said) this.word.put(card.word, this.wordBox.but({ y: this.wordBox.y + up }), unit, unit, ink, { bold: true }); else this.word.clear();
    this.writeMark(dim, ink);
    const leavesAt = this.wordBox.x + (said ? measure(card.word, unit, true) + 0.5 * unit : 0);
    const way = [card.leave_label, TABLET.at].find(each => each && measure(each, unit) <= this.wordBox.right - leavesAt);
    if (this.atBox && this.mark.width && card.clock) this.leaves.put(TABLET.at, this.atBox, unit, unit, dim);
    else if (rows.deckRows !== 2 || !this.mark.width || !card.clock || !way) this.leaves.clear();
    else {
      const wide = measure(way, unit);
      this.leaves.put(way, lineBox(this.wordBox.right - wide, this.wordBox.y + FOOT * unit, wide + 1, unit), unit, unit, dim);
    }
    let box = this.countBox;
    if (this.long && rows.deckRows < 3) {
      const left = rows.deckRows === 1 && !said ? this.shapeBox.right + 0.4 * unit : box.x;
      box = new Box(left, box.y, this.markBox.right - left, box.height);
    }
    this.count.lay(box, this.countCap, ink, rows.deckRows === 1 ? "right" : "left", "bottom");
    if (rows.ribbon && card.ribbon.length) {
      this.ribbon.put(card, this.ribbonBox, theme, unit, state, false, rows.ribbon === "labels", Math.min(this.ribbonBox.height, BAR * unit));
    } else this.ribbon.hide();
    this.writeRows();
  }

  writeMark(dim) {
    const { card, rows } = this, unit = rows.unit, words = TABLET.words;
    if (!card.clock) {
      this.mark.put(card.leave_label === words.finish ? [words.finish, words.finishShort] : card.leave_label, this.waitBox, unit, unit, dim);
    } else if (rows.deckRows === 3) {
      this.mark.put([card.leave_label + " " + card.clock, TABLET.at + " " + card.clock, card.clock], this.markBox, unit, unit, dim);
    } else if (this.long) this.mark.clear();
    else this.mark.put(card.clock, this.markBox, unit, unit, dim, { bold: true, across: "right" });
  }

  writeRows() {
    const { card, bases } = this, unit = this.rows.unit;
    Object.keys(this.cells).forEach(name => this.cells[name].clear());
    this.warning.hide();
    this.hasSwum = false;
    const labels = this.rows.ribbon ? this.ribbon.labels : null;
    const labelled = Boolean(labels) && (!card.name || labels[Math.max(card.lit, 0)].indexOf(card.name) >= 0);
    const rows = filledRows(card, bases.map(() => this.wide), unit, labelled).filter(row => Object.keys(row).length);
    const spare = (bases.length - rows.length) * (bases[0] - bases[bases.length - 1]) / Math.max(1, bases.length - 1) / 2;
    rows.forEach((row, line) => this.writeRow(row, bases[line] - spare));
  }

  writeRow(row, base) {
    const unit = this.rows.unit, theme = this.theme, items = PLACES.filter(item => item in row);
    let left = this.left;
    items.forEach(item => {
      const bold = BOLD.indexOf(item) >= 0, wide = measure(row[item], unit, bold);
      if (item === "cue" && items.length > 1) left = this.left + this.wide - wide;
      if (item === "tight") {
        this.warning.put("warning", new Box(left, base, unit, unit), theme.ink);
        left += WARNING * unit;
      }
      const cell = this.cells[item] = this.cells[item] || new Words(this.canvas, item);
      let text = row[item], ink = ["distance", "present", "detail", "tight", "cue"].indexOf(item) >= 0 ? theme.ink : theme.dim;
      if (item === "swum") {
        text = text.split(" ")[0];
        this.swum.lay(new Box(left + measure(text + " ", unit), base, digitsWidth("88:88", fontSize(unit)), unit), unit,
          theme.dim, "left", "bottom");
        this.hasSwum = true;
        ink = theme.dim;
      }
      cell.put(text, lineBox(left, base, wide + 1, unit), unit, unit, ink, { bold });
      left += wide + GAP * unit;
    });
  }
}

// The header: the pace clock's reading, time in the session, section, when everybody is out.
class PoolHeader {
  constructor(canvas, box, header, unit, theme) {
    Object.assign(this, { box, header, unit, theme });
    this.warning = new Plate(canvas);
    this.clock = new Digits(canvas, "clock");
    this.session = new Digits(canvas, "session");
    this.words = {};
    ["session word", "session label", "section", "title", "out", "spare", "whose", "whose below"].forEach(name => {
      this.words[name] = new Words(canvas, { "session word": "session", whose: "whose clock", "whose below": "whose clock" }[name] || name);
    });
    this.pad = 0.5 * unit;
    this.upper = box.y + header.upper;
    this.lower = box.y + header.lower;
    const cap = header.upper - header.lower + unit;
    this.clockBox = new Box(box.x + this.pad, this.lower, digitsWidth(":88", fontSize(cap)), cap);
    this.clock.lay(this.clockBox, cap, theme.ink, "left", "bottom");
  }

  show(pool, atMs) {
    const session = pool.session || down(pool.to_ms, atMs) || up(pool.since_ms, atMs), said = String(session.length);
    if (pool !== this.pool || said !== this.said) {
      Object.assign(this, { pool, said });
      Object.keys(this.words).forEach(name => this.words[name].clear());
      this.warning.hide();
      if (this.header.rows === 1) this.writeOne(session); else this.writeTwo(session);
    }
    this.clock.show(reading(atMs + pool.phase_ms));
    this.session.show(/^\d/.test(session) ? session : "");
  }

  line(name, text, x, base, width, bold = false, across = "left", ink = "") {
    const unit = this.unit, theme = this.theme;
    if (!text || measure(text, unit, bold) > width + 0.5) return 0;
    this.words[name].put(text, lineBox(x, base, width, unit), unit, unit, ink || (bold ? theme.ink : theme.dim), { bold, across });
    return measure(text, unit, bold);
  }

  time(session, x, base, room) {
    if (!/^\d/.test(session)) return this.line("session word", session, x, base, room, true);
    const wide = digitsWidth(session, fontSize(this.unit));
    this.session.lay(new Box(x, base, wide + 1, this.unit), this.unit, this.theme.ink, "left", "bottom");
    return wide;
  }

  timeWidth(session) {
    return /^\d/.test(session) ? digitsWidth(session, fontSize(this.unit)) : measure(session, this.unit, true);
  }

  warn(left, right) {
    if (!this.pool.over) return;
    const by = 0.3 * this.unit, low = this.header.rows < 3 ? this.box.y : this.lower - 0.45 * this.unit;
    this.warning.put(new Box(left - by, low, right - left + 2 * by, this.box.top - low), this.theme.flip);
  }

  writeOne(session) {
    const { unit, lower: base, pool } = this, ink = pool.over ? this.theme.flip_ink : "";
    let right = this.box.right - this.pad, left = this.clockBox.right + 1.1 * unit;
    const label = pool.begun ? 0 : measure(pool.session_label, unit) + 0.4 * unit, time = this.timeWidth(session);
    const section = measure(pool.section, unit, true), room = right - left - label - time - unit;
    const items = [["out", [pool.out], 0, true], ["whose", pool.whose, pool.over ? 2 : 1], ["spare", pool.spare, pool.over ? 1 : 2]];
    let found = filled(items, room - section - unit, unit, unit);
    if (pool.over && !found.spare) {
      const wider = filled(items, room, unit, unit);
      found = wider.spare ? wider : found;
    }
    if (found.whose) {
      this.line("whose", found.whose, this.clockBox.right + 0.4 * unit, base, right);
      left += measure(found.whose, unit) + 0.4 * unit;
    }
    if (label) this.line("session label", pool.session_label, left, base, label);
    left += label;
    left += this.time(session, left, base, right - left) + unit;
    const end = right;
    ["spare", "out"].forEach(name => {
      const text = found[name] || "", bold = name === "out", wide = measure(text, unit, bold);
      this.line(name, text, right - wide, base, wide, bold, "left", ink);
      right -= wide + (text ? unit : 0);
    });
    this.warn(right + unit, end);
    this.line("section", pool.section, left, base, right - left, true);
  }

  writeTwo(session) {
    const { unit, upper, lower, box, pool } = this, ink = pool.over ? this.theme.flip_ink : "", rows = this.header.rows;
    let left = this.clockBox.right + 1.1 * unit, right = box.right - this.pad;
    const whoseWords = pool.whose[0].split(" "), whoseWide = Math.max.apply(null, whoseWords.map(word => measure(word, unit)));
    const label = pool.begun ? pool.session_short : pool.session_label;
    const section = rows === 2 ? measure(pool.section, unit, true) : 0;
    const free = right - left - Math.max(this.timeWidth(session), measure(label, unit)) - 2.2 * unit -
      (rows === 2 ? section + 1.1 * unit + whoseWide + 0.6 * unit : 0);
    const spare = pool.spare.find(way => measure(way, unit) <= free) || (pool.over && pool.spare[pool.spare.length - 1]) || "";
    const wide = Math.max(measure(pool.out, unit, true), measure(spare, unit));
    this.line("out", pool.out, right - wide, upper, wide, true, "right", ink);
    this.line("spare", spare, right - wide, lower, wide, false, "right", ink);
    this.warn(right - wide, right);
    right -= wide + 1.1 * unit;
    const beside = whoseWords.length === 2 && left + whoseWide + measure(label, unit) + section + 2.2 * unit <= right;
    if (beside) {
      this.line("whose", whoseWords[0], left - 0.5 * unit, upper, whoseWide);
      this.line("whose below", whoseWords[1], left - 0.5 * unit, lower, whoseWide);
      left += whoseWide + 0.6 * unit;
    }
    const time = this.time(session, left, lower, right - left), title = measure(pool.title, unit);
    const room = right - left - (rows === 3 ? 0 : title + 1.1 * unit);
    const labels = pool.begun ? [pool.session_label, pool.session_short] : [pool.session_label];
    const said = labels.find(way => measure(way, unit) <= room) || labels[labels.length - 1];
    this.line("session label", said, left, upper, right - left);
    left += Math.max(measure(said, unit), time) + 1.1 * unit;
    if (rows === 2) {
      this.line("section", pool.section, left, lower, right - left, true);
      this.line("title", pool.title, left, upper, right - left);
      return;
    }
    const third = box.y + this.header.third;
    left = box.x + this.pad;
    right = box.right - this.pad;
    const sectionWide = Math.min(measure(pool.section, unit, true), right - left);
    if (!beside) {
      const way = pool.whose.find(each => left + measure(each, unit) + unit + sectionWide <= right) || "";
      left += way ? this.line("whose", way, left, third, measure(way, unit)) + unit : 0;
    }
    this.line("section", pool.section, left, third, sectionWide, true);
    this.line("title", pool.title, left + sectionWide + unit, third, right - left - sectionWide - unit);
  }
}

// Which of `items` (name, ways, rank, bold) a row holds, and how each is said: first the shortest ways, then longer ones.
function filled(items, width, cap, gap) {
  const ranked = items.filter(item => item[1].length && item[1][0]).sort((one, other) => one[2] - other[2]), chosen = {};
  let left = width + gap;
  ranked.forEach(item => {
    const need = measure(item[1][item[1].length - 1], cap, item[3]) + gap;
    if (need <= left) {
      chosen[item[0]] = item[1][item[1].length - 1];
      left -= need;
    }
  });
  ranked.forEach(item => {
    if (!(item[0] in chosen)) return;
    const now = measure(chosen[item[0]], cap, item[3]);
    const way = item[1].find(each => measure(each, cap, item[3]) - now <= left);
    left -= measure(way, cap, item[3]) - now;
    chosen[item[0]] = way;
  });
  return chosen;
}
