// Cards: what is shown from an instant on. Looked up and counted, nothing else: what a lane does, the tablet has worked out.

// Cards as the tablet packs them: keys and texts once.
function unpacked(packed) {
  return packed.cards.map(row => {
    const card = {};
    packed.shapes[row[0]].forEach((key, place) => {
      const value = row[place + 1];
      card[key] = key.slice(-3) === "_ms" ? value : packed.texts[value];
    });
    return card;
  });
}

// The cards of each part, ascending.
function partsOf(cards) {
  const parts = {};
  cards.forEach(card => (parts[card.part] = parts[card.part] || []).push(card));
  return parts;
}

// The card in force at an instant; the first one before that.
function inForce(cards, atMs) {
  let low = 0, high = cards.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (cards[middle].at_ms <= atMs) low = middle + 1; else high = middle;
  }
  return cards[Math.max(0, low - 1)];
}

// Count-down to an instant, and count-up from one, "" where there is none.
const down = (toMs, atMs) => toMs === null ? "" : countDown(secondsToGo(toMs - atMs));
const up = (sinceMs, atMs) => sinceMs === null ? "" : countUp(Math.floor((atMs - sinceMs) / 1000));

// Where a swimmer is: lengths from the home wall, out (0 to 1) and back (1 to 2); -1 waiting there, -2 at the far wall,
// -3 in another lane.
function placeOf(card, atMs) {
  const since = atMs - card.left_ms, gone = card.way.filter(piece => piece[0] <= since), piece = gone[gone.length - 1] || card.way[0];
  return piece[1] < 0 ? piece[1] : (piece[1] + (since - piece[0]) * piece[2] / 1e6) % 2;
}

// The share of the lit stretch that is done.
const doneOf = (card, atMs) => card.from_ms === null ? 0 : Math.min(1, Math.max(0, (atMs - card.from_ms) / card.takes_ms));
