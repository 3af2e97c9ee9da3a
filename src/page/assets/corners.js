// Four corners on the picture: of the sheet, or of the part to use, which stays a rectangle.
import { clamp, grip, lay, movable, spoken } from "./handles.js";

const NAMES = ["Top left", "Top right", "Bottom right", "Bottom left"];
// A part so small holds no figure.
const LEAST = 8;

// `moved()` is called when a corner was let go; a rectangle is `upright`.
export function fourCorners(stage, size, { what, className, upright = false }, moved) {
  let points = null;
  let own = false;
  const { width, height } = size;
  // Only the parser knows what is a drawing.
  stage.insertAdjacentHTML("beforeend", `<svg class="outline ${className}" aria-hidden="true" preserveAspectRatio="none" viewBox="0 0 ${width} ${height}">${upright ? '<path class="beyond" fill-rule="evenodd"/>' : ""}<path/></svg>`);
  const outline = stage.lastChild;
  const grips = NAMES.map((_, at) => {
    const element = grip(className);
    movable(element, { stage, size, at: () => points[at], put: (place) => put(at, place), letGo: () => {
      own = true;
      moved();
    } });
    return element;
  });

  const put = (at, [x, y]) => {
    const [farX, farY] = points[(at + 2) % 4];
    // Corners of a rectangle never pass one another; neighbours share a row or a column.
    const along = (value, far, first, whole) => Math.round(clamp(value, upright && !first ? far + LEAST : 0, upright && first ? far - LEAST : whole));
    points[at] = [along(x, farX, at % 3 === 0, width), along(y, farY, at < 2, height)];
    if (upright) [points[at ^ 1][1], points[3 - at][0]] = [points[at][1], points[at][0]];
    show();
  };

  const show = () => {
    outline.classList.toggle("own", own);
    grips.forEach((element, at) => {
      if (!points) return element.remove();
      if (!element.isConnected) stage.append(element);
      element.setAttribute("aria-label", `${NAMES[at]} corner of ${what}, at ${spoken(points[at])}`);
      return lay(element, size, points[at]);
    });
    const drawn = points ? `M${points.join("L")}Z` : "";
    for (const path of outline.children) path.setAttribute("d", drawn && path.className.baseVal ? `M0 0H${width}V${height}H0Z${drawn}` : drawn);
  };
  const set = (given, isOwn) => {
    points = given;
    own = isOwn;
    show();
  };

  return {
    // What the maker set stays.
    found: (given) => own || set(given?.map((point) => [...point]) ?? null, false),
    set: (given) => set(given, true),
    clear: () => set(null, false),
    said: () => (own ? points : undefined),
    any: () => !!points,
  };
}

export const cornersOf = ([x, y, width, height]) => [[x, y], [x + width, y], [x + width, y + height], [x, y + height]];
export const areaOf = ([[x, y], , [right, bottom]]) => [x, y, right - x, bottom - y];
