// The pool view: the pool seen from above, its lanes as bands between their ropes.

// What each row says of what is needed, with the room that `rooms` gives it. `labelled`: the ribbon says what is done.
function filledRows(card, rooms, unit, labelled) {
  let needs = !card.unnamed || measure(card.name, unit) <= Math.max.apply(null, rooms) ? card.needs : card.unnamed;
  if (rooms.length === 1 && card.own_row) needs = needs.slice(0, needs.length - card.own_row);
  if (labelled) { // NOW of a repeat's only part is its "next"
    needs = needs.filter(need => ["present", "detail", "now"].indexOf(need[0]) < 0 && !(need[0] === "next" && card.lit >= 0));
  }
  return placed(needs, rooms, unit, labelled).map(withoutTwoDistances);
}

class PoolView {
  constructor(canvas, box, glass, theme, lanes, numbers) {
    Object.assign(this, { canvas, box, glass, theme });
    const unit = glass.unitPx(box.width, box.height), header = headerOf(box.width, box.height, unit, lanes);
    const pool = but(box, { height: Math.round(box.height - header.height) });
    this.ground = new Plate(canvas);
    this.ground.put(box, theme.ground);
    this.header = new PoolHeader(canvas, new Box(box.x, pool.top, box.width, header.height), header, unit, theme);
    const rope = Math.max(3, Math.min(glass.px(ROPE_MM), ROPE_SHARE * pool.height / Math.max(1, lanes)));
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
    const home = glass.px(WALL_MM);
    new Plate(canvas).put(new Box(left - home, pool.y, home, pool.height), theme.rope);
    new Plate(canvas).put(new Box(pool.right - home / 2, pool.y, home / 2, pool.height), theme.rope);
  }
  show(parts, atMs, stale) {
    this.header.show(inForce(parts.pool, atMs), atMs);
    const glides = Math.floor(atMs / TABLET.glide) * TABLET.glide, moves = glides !== this.glides;
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
    this.deckBox = but(box, { width: deck });
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
    const { outY, backY, bases, ribbon: ribbonAt } = waterBoxes(box, this.water, rows);
    Object.assign(this, { outY, backY, bases, ribbonAt, left: ribbonAt.x, wide: ribbonAt.width });
    this.laid = deckBoxes(box, this.deckBox, rows, widest, this.bases[0]);
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
    this.edge.put(this.laid.edge, state);
    this.number.put(card.lane, this.laid.number, this.laid.numberCap, unit, ink, { bold: true, across: "middle" });
    const alone = this.long === null && !card.clock && !card.leave_label;
    const [shapeAt, wordAt] = stateBoxes(this.box, this.laid, rows, alone);
    this.shape.put(card.shape, shapeAt, ink);
    const roomy = this.laid.word.width >= measure(card.word, unit, true);
    const said = roomy && !(this.long && rows.deckRows === 1);
    if (said) this.word.put(card.word, wordAt, unit, unit, ink, { bold: true }); else this.word.clear();
    this.writeMark(dim, ink);
    const leavesAt = this.laid.word.x + (said ? measure(card.word, unit, true) + 0.5 * unit : 0);
    const way = [card.leave_label, TABLET.words.at].find(each => each && measure(each, unit) <= this.laid.word.right - leavesAt);
    if (this.laid.at && this.mark.width && card.clock) this.leaves.put(TABLET.words.at, this.laid.at, unit, unit, dim);
    else if (rows.deckRows !== 2 || !this.mark.width || !card.clock || !way) this.leaves.clear();
    else {
      const wide = measure(way, unit);
      this.leaves.put(way, lineBox(this.laid.word.right - wide, this.laid.word.y + FOOT * unit, wide + 1, unit), unit, unit, dim);
    }
    let box = this.laid.countDown;
    if (this.long && rows.deckRows < 3) {
      const left = rows.deckRows === 1 && !said ? this.laid.shape.right + 0.4 * unit : box.x;
      box = new Box(left, box.y, this.laid.mark.right - left, box.height);
    }
    this.count.lay(box, this.laid.countCap, ink, rows.deckRows === 1 ? "right" : "left", "bottom");
    if (rows.ribbon && card.ribbon.length) {
      this.ribbon.put(card, this.ribbonAt, theme, unit, state, false, rows.ribbon === "labels", Math.min(this.ribbonAt.height, BAR * unit));
    } else this.ribbon.hide();
    this.writeRows();
  }

  writeMark(dim) {
    const { card, rows } = this, unit = rows.unit, words = TABLET.words;
    if (!card.clock) {
      this.mark.put(card.leave_label === words.finish ? [words.finish, words["finish short"]] : card.leave_label, this.laid.wait, unit, unit, dim);
    } else if (rows.deckRows === 3) {
      this.mark.put([card.leave_label + " " + card.clock, TABLET.words.at + " " + card.clock, card.clock], this.laid.mark, unit, unit, dim);
    } else if (this.long) this.mark.clear();
    else this.mark.put(card.clock, this.laid.mark, unit, unit, dim, { bold: true, across: "right" });
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
    const unit = this.rows.unit, theme = this.theme, items = Object.keys(row);
    let left = this.left;
    items.forEach(item => {
      const bold = BOLD.includes(item), wide = measure(row[item], unit, bold);
      if (item === "cue" && items.length > 1) left = this.left + this.wide - wide;
      if (item === "tight") {
        this.warning.put("warning", new Box(left, base, unit, unit), theme.ink);
        left += MARK * unit;
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
    const clock = headerClock(box, header, unit);
    this.clock.lay(clock, clock.height, theme.ink, "left", "bottom");
  }

  show(pool, atMs) {
    const session = pool.session || down(pool.to_ms, atMs) || up(pool.since_ms, atMs), said = String(session.length);
    const timed = /^\d/.test(session);
    if (pool !== this.pool || said !== this.said) {
      Object.assign(this, { pool, said });
      this.write(session, timed);
    }
    this.clock.show(clockReading(atMs, pool.phase_ms));
    this.session.show(this.timed ? session : "");
  }

  write(session, timed) {
    const { unit, theme, pool } = this;
    const laid = headerLines(this.box, this.header, unit, Object.assign({ timed, label: pool.session_label, short: pool.session_short },
      pool, { session }));
    Object.keys(this.words).forEach(name => this.words[name].clear());
    laid.lines.forEach(line => {
      const ink = line.flips && laid.warning ? theme.flip_ink : line.bold ? theme.ink : theme.dim;
      this.words[line.name].put(line.text, lineBox(line.x, line.base, line.width, unit), unit, unit, ink,
        { bold: line.bold, across: line.across });
    });
    this.timed = Boolean(laid.time);
    if (laid.time) this.session.lay(laid.time, unit, theme.ink, "left", "bottom");
    if (laid.warning) this.warning.put(laid.warning, theme.flip); else this.warning.hide();
  }
}
