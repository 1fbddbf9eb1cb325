// What the views are drawn with: boxes, plates, words that fit, digits, the shapes of the states.
// Boxes are in CSS pixels from the lower left corner, as the tablet's own views have them: places and sizes are the same.

const ASCENT = 0.965, HEIGHT = 1.215;  // from the top of a line to its base line, and to its foot
const HANGING = /[gjpqyQ,;()[\]{}/|_@$]/;

// -- how wide a text is ---------------------------------------------------------------------------------------------------

const pen = document.createElement("canvas").getContext("2d");
const advances = new Map();

// The width of a text, letter by letter in whole pixels: so the tablet measures, and the same words fit.
function measure(text, cap, bold = false) {
  const size = fontSize(cap), font = (bold ? "700 " : "400 ") + size + "px pacer, sans-serif";
  let known = advances.get(font);
  if (!known) {
    if (advances.size > 60) advances.clear();
    advances.set(font, known = new Map());
  }
  const exact = letters => { pen.font = font; return pen.measureText(letters).width; };
  let wide = 0, before = "";
  for (const letter of text) {
    const pair = before + letter;
    let one = known.get(pair);
    if (one === undefined) {
      one = Math.floor(exact(letter) + 0.51);
      if (before) one += exact(pair) - exact(before) - exact(letter);
      known.set(pair, one);
    }
    wide += one;
    before = letter;
  }
  return text ? Math.floor(wide + 0.01) + beyond(before, font, known) : 0;
}

// By how many pixels a last letter reaches beyond its width.
function beyond(letter, font, known) {
  const name = "beyond " + letter;
  let found = known.get(name);
  if (found === undefined) {
    pen.font = font;
    const all = pen.measureText(letter);
    found = Math.max(0, Math.ceil((all.actualBoundingBoxRight || 0) - 0.01) - Math.floor(all.width + 0.51));
    known.set(name, found);
  }
  return found;
}

// -- drawn ------------------------------------------------------------------------------------------------------------

// Where views are drawn: `height` turns boxes upside down for the browser.
class Canvas {
  constructor(root, height) { this.root = root; this.height = height; }
  add(tag = "div", name = "") {
    const made = document.createElement(tag);
    if (name) made.className = name;
    this.root.appendChild(made);
    return made;
  }
}

class Piece {
  constructor(canvas, tag, name) { this.canvas = canvas; this.node = canvas.add(tag, name); this.said = {}; }
  style(values) {
    Object.keys(values).forEach(key => {
      if (this.said[key] !== values[key]) this.said[key] = this.node.style[key] = values[key];
    });
  }
  at(box) {
    this.style({ left: box.x + "px", top: this.canvas.height - box.top + "px", width: box.width + "px",
      height: box.height + "px", display: "block" });
  }
  hide() { this.style({ display: "none" }); }
}

class Plate extends Piece {
  constructor(canvas) { super(canvas, "div", ""); }
  put(box, colour, opacity = 1, radius = 0) {
    this.box = whole(box);
    this.at(this.box);
    this.style({ background: colour, opacity: String(opacity), borderRadius: radius + "px" });
  }
}

class Frame extends Piece {
  constructor(canvas) { super(canvas, "div", "frame"); }
  put(box, colour, width) {
    this.at(whole(box));
    this.style({ border: Math.max(1, Math.round(width)) + "px solid " + colour });
  }
}

class Words extends Piece {
  constructor(canvas, name) { super(canvas, "div", "words"); this.node.setAttribute("data-is", name); this.clear(); }
  // `across`: left, middle, right; `rise`: top, middle, bottom.
  put(ways, box, cap, floor, colour, { bold = false, across = "left", rise = "middle", lines = 1 } = {}) {
    ways = Array.isArray(ways) ? ways : [ways];
    const asked = JSON.stringify([ways, box, cap, floor, bold, across, rise, lines]);
    this.style({ color: colour });
    if (asked === this.asked) return this.fitted;
    this.asked = asked;
    if (!ways.length || !ways[0]) { this.clear(); this.asked = asked; return this.fitted; }
    this.fitted = fit(ways, box.width, box.height, cap, floor, bold, lines);
    const texts = this.fitted.lines, size = fontSize(this.fitted.cap);
    cap = this.fitted.cap;
    const high = linesHeight(texts.length, cap);
    const hanging = texts.length > 1 && !HANGING.test(texts[texts.length - 1]) ? 0 : FOOT * cap;
    const middle = Math.min(box.top, Math.max(box.y + high - FOOT * cap + hanging,
      box.y + (box.height + high - FOOT * cap) / 2));
    const top = { top: box.top, middle: middle, bottom: box.y + high }[rise];
    this.width = Math.max.apply(null, texts.map(text => measure(text, cap, bold)));
    const x = { left: box.x, middle: box.x + (box.width - this.width) / 2, right: box.right - this.width }[across];
    const base = Math.round(top - (LINE - FOOT) * cap);
    this.node.textContent = "";
    texts.forEach((text, place) => {
      const row = document.createElement("div");
      row.textContent = text;
      row.style.top = Math.round(place * PITCH * cap) + "px";
      row.style.textAlign = across === "middle" ? "center" : across;
      this.node.appendChild(row);
    });
    this.style({ left: Math.round(x) + "px", top: this.canvas.height - base - ASCENT * size + "px", display: "block",
      width: this.width + 1 + "px", fontSize: size + "px", fontWeight: bold ? "700" : "400" });
    return this.fitted;
  }
  get text() { return this.fitted.lines.join(" "); }
  clear() { this.hide(); this.node.textContent = ""; this.asked = ""; this.fitted = { lines: [], cap: 0 }; this.width = 0; }
}

class Digits extends Piece {
  constructor(canvas, name, bold = true) {
    super(canvas, "div", "digits");
    this.node.setAttribute("data-is", name);
    this.style({ fontWeight: bold ? "700" : "400" });
    this.text = "";
    this.box = new Box(0, 0, 0, 0);
    this.limit = 1;
    this.hide();
  }
  // Where digits go from now on, and how high they are at most; what is too wide is drawn smaller.
  lay(box, cap, colour, across = "left", rise = "middle") {
    this.style({ color: colour });
    const wanted = JSON.stringify([box, cap, across, rise]);
    if (wanted === this.asked) return;
    this.asked = wanted;
    this.box = box;
    this.limit = Math.min(cap, box.height);
    this.across = across;
    this.rise = rise;
    const text = this.text;
    this.text = null;
    this.show(text || "");
  }
  show(text) {
    if (text === this.text) return;
    const before = this.text;
    this.text = text;
    this.node.textContent = text;
    if (!text) { this.hide(); return; }
    if (before && before.length === text.length) return;  // the same width: all digits have one
    let size = fontSize(this.limit), wide = digitsWidth(text, size);
    const box = this.box;
    if (wide > box.width && box.width > 0) {
      size = Math.max(1, Math.floor(size * box.width / wide));
      wide = digitsWidth(text, size);
    }
    this.cap = size * CAP;
    const x = { left: box.x, middle: box.x + (box.width - wide) / 2, right: box.right - wide }[this.across];
    const y = Math.round(box.y + (this.rise === "bottom" ? 0 : (box.height - this.cap) / 2));
    this.style({ left: x + "px", top: this.canvas.height - y - ASCENT * size + "px", fontSize: size + "px", display: "block" });
  }
}

// Shapes, for eyes that see no colour, in a square of 100.
const SHAPES = {
  poised: '<path d="M6 4h16v92H6z"/><path d="M36 14v72l56-36z" fill="none" stroke="currentColor" stroke-width="10" stroke-linejoin="round"/>',
  arrow: '<path d="M14 6v88l82-44z"/>',
  wave: '<g fill="none" stroke="currentColor" stroke-width="12" stroke-linecap="round" stroke-linejoin="round">' +
    '<path d="M5 66l11-12 12 12 11 12 11-12 11-12 12 12 11 12 11-12M5 34l11-12 12 12 11 12 11-12 11-12 12 12 11 12 11-12"/></g>',
  head: '<path d="M6 4h16v92H6z"/><circle cx="63" cy="35" r="23"/><path d="M30 76l8-7 8 7 9 7 8-7 8-7 8 7 9 7 8-7" fill="none" ' +
    'stroke="currentColor" stroke-width="12" stroke-linecap="round" stroke-linejoin="round"/>',
  down: '<path d="M0 0h100L50 100z"/>',
  bubble: '<rect x="4" y="10" width="92" height="58" rx="16"/><path d="M20 64h32L20 94z"/>',
  wall: '<path d="M6 4h20v92H6zM34 50l32-32v22h30v20H66v22z"/>',
  pause: '<path d="M14 8h26v84H14zM60 8h26v84H60z"/>',
  tick: '<path d="M10 50l30 32 52-66" fill="none" stroke="currentColor" stroke-width="18" stroke-linecap="round" stroke-linejoin="round"/>',
  dots: '<circle cx="17" cy="50" r="11"/><circle cx="51" cy="50" r="11"/><circle cx="85" cy="50" r="11"/>',
  dart: '<path d="M0 0L100 50L0 100L28 50z"/>',
  warning: '<path d="M6 92h88L50 8zM50 38v24" fill="none" stroke="currentColor" stroke-width="12" stroke-linejoin="round" stroke-linecap="round"/>' +
    '<circle cx="50" cy="77" r="6"/>'
};

class Shape extends Piece {
  constructor(canvas) { super(canvas, "div", "shape"); }
  fill(name, box, colour) {
    this.at(box);
    this.style({ color: colour });
    if (name !== this.name) {
      this.name = name;
      this.node.innerHTML = '<svg viewBox="0 0 100 100" preserveAspectRatio="none" fill="currentColor">' + SHAPES[name] + "</svg>";
    }
  }
}

class StateShape extends Shape {
  put(name, box, colour) {
    const side = Math.min(box.width, box.height);
    this.fill(name, new Box(box.x + (box.width - side) / 2, box.y + (box.height - side) / 2, side, side), colour);
  }
}
