// Fingers, mouse, pen and keys on the board, told as what is meant: a tap, a drag, a key's wish.
import { BoardPicture, beside } from "./board_svg.js";

const FAR = 8;  // pixels that a finger may slip in a tap

const ARROWS = ["ArrowLeft", "ArrowRight", "ArrowUp", "ArrowDown", "Home", "End"];

/**
 * wishes: tap(place), dragged(place) -> the side whose checker comes along or null,
 * dropped(from, to or null), key(place, key) -> whether it meant anything.
 */
export function listen(picture, wishes) {
  listenToPointers(picture, wishes);
  listenToKeys(picture, wishes);
}

function listenToPointers(picture, wishes) {
  let down = null;  // {place, x, y, side: of the checker that comes along}
  const svg = picture.svg;
  const moved = (event) => Math.hypot(event.clientX - down.x, event.clientY - down.y) > FAR;

  svg.addEventListener("pointerdown", (event) => {
    const place = BoardPicture.placeOf(event.target);
    if (!event.isPrimary || event.button !== 0 || !place) return;
    down = { place, x: event.clientX, y: event.clientY, side: null };
    svg.setPointerCapture(event.pointerId);
  });
  svg.addEventListener("pointermove", (event) => {
    if (!down || !event.isPrimary) return;
    if (!down.side && moved(event)) down.side = wishes.dragged(down.place);
    if (down.side) picture.drag(down.side, event.clientX, event.clientY);
  });
  svg.addEventListener("pointerup", (event) => {
    if (!down || !event.isPrimary) return;
    const { place, side } = down;
    const slipped = moved(event);
    down = null;
    picture.drag(null);
    if (side) {
      const under = document.elementFromPoint(event.clientX, event.clientY);
      wishes.dropped(place, BoardPicture.placeOf(under));
    } else if (!slipped) {
      picture.focusOn(place);
      wishes.tap(place);
    }
  });
  svg.addEventListener("pointercancel", () => {
    if (down?.side) wishes.dropped(down.place, null);
    down = null;
    picture.drag(null);
  });
  // A finger on a checker drags it; anywhere else it scrolls the page. (touch-action is not heeded
  // within pictures.)
  svg.addEventListener("touchstart", (event) => {
    const holds = event.target.closest(".has-checkers") && event.touches.length === 1;
    if (holds && event.cancelable) event.preventDefault();
  }, { passive: false });
  // A screen reader's click comes without a pointer.
  svg.addEventListener("click", (event) => {
    const place = BoardPicture.placeOf(event.target);
    if (event.detail === 0 && place) wishes.tap(place);
  });
}

function listenToKeys(picture, wishes) {
  picture.svg.addEventListener("keydown", (event) => {
    const place = BoardPicture.placeOf(event.target);
    if (!place || event.ctrlKey || event.altKey || event.metaKey) return;
    if (ARROWS.includes(event.key)) {
      picture.focusOn(beside(place, event.key));
    } else if (event.key === "Enter" || event.key === " ") {
      wishes.tap(place);
    } else if (!wishes.key(place, event.key.toLowerCase())) {
      return;
    }
    event.preventDefault();
  });
}
