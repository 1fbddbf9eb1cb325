// The keys of a screen that may help: a touch, a stroke rate, STOP ALL.

const helper = { marks: [], said: "", saidUntil: 0, timer: 0, built: false };

function say(text, forMs = 5000) {
  helper.said = text;
  helper.saidUntil = Date.now() + forMs;
}

// The bar of a device that may help; its height.
function helperBar() {
  const node = by("bar"), shown = link.role === "helps" && link.begun && !link.ended;
  if (!shown) {
    if (helper.built) { node.textContent = ""; node.className = ""; helper.built = false; }
    return 0;
  }
  if (!helper.built) {
    helper.built = true;
    node.className = "shown";
    node.appendChild(made("div", "", "said"));
    node.appendChild(onDown(made("button", word("touch"), "main"), takeTouch));
    node.appendChild(onDown(made("button", word("rate"), "rate"), takeStroke));
    node.appendChild(stopKey());
  }
  const said = Date.now() < helper.saidUntil ? helper.said : word("here", { number: link.lanes[link.picked.lane] });
  const line = node.firstChild;
  if (line.textContent !== said) line.textContent = said;
  return node.offsetHeight;
}

// A press counts when the finger comes down.
function onDown(node, press) {
  let touched = 0;
  node.addEventListener("touchstart", event => { touched = Date.now(); event.preventDefault(); wake(); press(); }, { passive: false });
  node.addEventListener("mousedown", () => { if (Date.now() - touched > 1000) press(); });
  return node;
}

function act(kind, data) {
  if (link.now() === null) return;
  link.act(kind, data);
  say(word("sending"), 15000);
}

function takeTouch() {
  if (navigator.vibrate) navigator.vibrate(30);
  act("touch", { lane: link.picked.lane });
}

// A press at each stroke cycle; sent three seconds after the last.
function takeStroke() {
  const now = link.now(), marks = helper.marks;
  if (now === null || marks.length && now - marks[marks.length - 1] < TABLET.bounceMs) return;
  if (!marks.length) helper.lane = link.picked.lane;
  marks.push(Math.round(now));
  clearTimeout(helper.timer);
  helper.timer = setTimeout(sendStrokes, TABLET.lastStrokeMs);
  const cycles = marks.length - 1;
  say(cycles ? word("cycles", { rate: Math.round(60000 * cycles / (marks[cycles] - marks[0])) }) : word("hand"), TABLET.lastStrokeMs);
}

function sendStrokes() {
  const marks = helper.marks;
  helper.marks = [];
  if (marks.length < 3) say(word("few"));
  else act("rate", { lane: helper.lane, marks_ms: marks, at_ms: marks[marks.length - 1], cycles: 1 });
}

// STOP ALL wants as long a press as on the tablet.
function stopKey() {
  const node = made("button", word("stop"), "stop");
  node.appendChild(made("i"));
  let timer = 0;
  const begin = event => {
    event.preventDefault();
    if (timer) return;
    node.classList.add("pressed");
    timer = setTimeout(() => { leave(); act("stop all", {}); }, TABLET.stopMs);
  };
  const leave = event => {
    if (event && event.targetTouches && event.targetTouches.length) return;  // a drop, or another finger: one still presses
    clearTimeout(timer);
    timer = 0;
    node.classList.remove("pressed");
  };
  node.addEventListener("touchstart", begin, { passive: false });
  ["touchend", "touchcancel", "mouseup", "mouseleave"].forEach(name => node.addEventListener(name, leave));
  node.addEventListener("mousedown", begin);
  return node;
}
