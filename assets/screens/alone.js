// A screen without the tablet: since when, the strip that says so, until when send-offs are promised.

const NOTICED_MS = 3000;  // a shorter silence is none; link.js waits ALONE_MS for a word from the tablet
const OLD_MS = 60000;  // alone for so long, send-offs are promised no more

const aloneFor = now => link.aloneSince === null ? 0 : now - link.aloneSince;

// The strip that says since when the screen is alone: quietly, until send-offs are promised no more; its height.
function stripFor(aloneMs) {
  const node = by("strip");
  if (aloneMs < NOTICED_MS) {
    node.style.display = "none";
    return 0;
  }
  const unit = glassNow().unitPx(window.innerWidth, window.innerHeight);
  const old = aloneMs >= OLD_MS, time = countUp(Math.floor(aloneMs / 1000));
  const ways = [word(old ? "old" : "going", { time }), word("alone", { time })];
  const fitted = fit(old ? ways.slice(0, 1) : ways, window.innerWidth * 0.96, linesHeight(2, unit), unit, unit, old, 2);
  const text = fitted.lines.join("\n"), size = fontSize(fitted.cap), line = Math.ceil(PITCH * fitted.cap);
  const high = line * fitted.lines.length + Math.ceil(0.3 * unit);
  if (node.textContent !== text) node.textContent = text;
  node.className = old ? "old" : "";
  Object.assign(node.style, { display: "block", height: high + "px", lineHeight: line + "px", fontSize: size + "px",
    paddingTop: Math.round(0.15 * unit) + "px", bottom: by("bar").offsetHeight + "px" });
  return high;
}
