// What a pair of eyes would find wrong with a page, as lists of the elements at fault.

const SMALLEST_NUMBER = 16;
const TARGET = 48;
const TOLERANCE = 1; // layout rounds to fractions of a pixel
const PRESSED = "button, .button, input:not([type=hidden], [type=radio], [type=checkbox]), select, summary";

const named = (element) => element.outerHTML.replace(/\s+/g, " ").slice(0, 110);
const shown = (element) => element.checkVisibility() && !element.closest(".unseen, .skip, option, datalist, svg");

/** Text that holds a digit and is too small to be read at arm's length. */
function smallNumbers() {
  const walker = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  const found = [];
  while (walker.nextNode()) {
    const parent = walker.currentNode.parentElement;
    if (/[0-9]/.test(walker.currentNode.textContent) && shown(parent) && parseFloat(getComputedStyle(parent).fontSize) < SMALLEST_NUMBER) {
      found.push(named(parent));
    }
  }
  return found;
}

/** Boxes that stand out over the right edge, or whose text is cut off. */
function clipped() {
  const edge = document.documentElement.clientWidth + TOLERANCE;
  return [...document.querySelectorAll("main *, header *")]
    .filter((element) => shown(element) && !element.closest(".wide"))
    .filter((element) => {
      const cuts = getComputedStyle(element).overflowX === "hidden" && element.scrollWidth > element.clientWidth + TOLERANCE;
      return cuts || element.getBoundingClientRect().right > edge;
    })
    .map(named);
}

/** Things to press that lie on each other. */
function overlapping() {
  const boxes = [...document.querySelectorAll(["a", PRESSED].join(", "))]
    .filter((element) => shown(element) && element.getClientRects().length === 1)
    .map((element) => [element, element.getBoundingClientRect()]);
  const found = [];
  boxes.forEach(([one, a], index) => {
    for (const [other, b] of boxes.slice(index + 1)) {
      const wide = Math.min(a.right, b.right) - Math.max(a.left, b.left);
      const high = Math.min(a.bottom, b.bottom) - Math.max(a.top, b.top);
      if (wide > TOLERANCE && high > TOLERANCE && !one.contains(other) && !other.contains(one)) {
        found.push(`${named(one)} and ${named(other)}`);
      }
    }
  });
  return found;
}

/** What a finger presses and is too low for it; a link inside a sentence is as high as its line. */
function lowTargets() {
  return [...document.querySelectorAll(`${PRESSED}, nav a`)]
    .filter((element) => shown(element) && element.getBoundingClientRect().height < TARGET - TOLERANCE)
    .map(named);
}

function looks() {
  return {
    smallNumbers: smallNumbers(),
    clipped: clipped(),
    overlapping: overlapping(),
    lowTargets: lowTargets(),
    primary: document.querySelectorAll("button.primary, .button.primary").length,
  };
}
