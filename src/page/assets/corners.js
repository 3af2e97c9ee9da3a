// Four corners on the picture: those of the sheet, each free, or those of the part to use, which stay a rectangle.
import { grip, lay, movable, spoken } from "./handles.js";

const NAMES = ["Top left", "Top right", "Bottom right", "Bottom left"];
// A part so small holds no figure.
const LEAST = 8;

/**
 * Corners of `what` over a picture of `size` pixels; `moved()` is called when one was let go. A rectangle has `upright`.
 */
export function fourCorners(stage, size, { what, className, upright = false }, moved) {
  let points = null;
  let own = false;
  // The parser of HTML knows what is a drawing; elements made one by one do not.
  stage.insertAdjacentHTML("beforeend", `<svg class="outline ${className}" aria-hidden="true" preserveAspectRatio="none" viewBox="0 0 ${size.width} ${size.height}">${upright ? '<path class="beyond" fill-rule="evenodd"/>' : ""}<path/></svg>`);
  const outline = stage.lastChild;
  const label = (at) => `${NAMES[at]} corner of ${what}, at ${spoken(points[at])}`;
  const grips = NAMES.map((_, at) => {
    const element = grip({ className });
    movable(element, { stage, size, at: () => points[at], put: (place) => put(at, place), letGo: () => {
      own = true;
      moved();
    } });
    return element;
  });

  const inside = (value, least, most) => Math.round(Math.min(Math.max(value, least), most));
  const put = (at, [x, y]) => {
    const [farX, farY] = points[(at + 2) % 4];
    // Corners of a rectangle never pass one another; a neighbour shares the row, the other the column.
    const [left, top] = [at === 0 || at === 3, at < 2];
    points[at] = [
      inside(x, upright && !left ? farX + LEAST : 0, upright && left ? farX - LEAST : size.width),
      inside(y, upright && !top ? farY + LEAST : 0, upright && top ? farY - LEAST : size.height),
    ];
    if (upright) [points[at ^ 1][1], points[3 - at][0]] = [points[at][1], points[at][0]];
    show();
  };

  const show = () => {
    outline.classList.toggle("own", own);
    grips.forEach((element, at) => {
      if (!points) return element.remove();
      if (!element.isConnected) stage.append(element);
      element.setAttribute("aria-label", label(at));
      return lay(element, size, points[at]);
    });
    const drawn = points ? `M${points.join("L")}Z` : "";
    for (const path of outline.children) path.setAttribute("d", drawn && path.className.baseVal ? `M0 0H${size.width}V${size.height}H0Z${drawn}` : drawn);
  };

  return {
    /** Lays down what was found, or nothing; what the maker set stays. */
    found(given) {
      if (own) return;
      points = given?.map((point) => [...point]) ?? null;
      show();
    },
    /** Takes these corners for the maker's. */
    set(given) {
      points = given;
      own = true;
      show();
    },
    /** The maker's corners go. */
    clear() {
      own = false;
      points = null;
      show();
    },
    /** The maker's corners; none where they have set none. */
    said: () => (own ? points : undefined),
    any: () => !!points,
  };
}

/** A rectangle as four corners, clockwise from the top left. */
export const cornersOf = ([x, y, width, height]) => [[x, y], [x + width, y], [x + width, y + height], [x, y + height]];

/** Four corners of a rectangle as it is sent. */
export const areaOf = ([[x, y], , [right, bottom]]) => [x, y, right - x, bottom - y];
