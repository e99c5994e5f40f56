// What the server checks of a place: GeoJSON with positions on the earth, lines of two and
// closed rings of four. Pure.

const deepest = 8; // of geometries within geometries

/** What is wrong with a place, and what to do; undefined when nothing is. */
export function wrongPlace(value: unknown, depth = 0): string | undefined {
  if (value === null) return undefined;
  if (depth > deepest || typeof value !== "object" || Array.isArray(value)) return "The position cannot be read. Give it again";
  const { type, coordinates, geometries } = value as {
    readonly type?: unknown;
    readonly coordinates?: unknown;
    readonly geometries?: unknown;
  };
  switch (type) {
    case "Point":
      return position(coordinates);
    case "MultiPoint":
      return each(coordinates, position);
    case "LineString":
      return line(coordinates);
    case "MultiLineString":
      return each(coordinates, line);
    case "Polygon":
      return area(coordinates);
    case "MultiPolygon":
      return each(coordinates, area);
    case "GeometryCollection":
      return each(geometries, (one) => wrongPlace(one, depth + 1));
    default:
      return "The geometry is of no known type. Give it again";
  }
}

function each(list: unknown, check: (one: unknown) => string | undefined): string | undefined {
  if (!Array.isArray(list)) return "The geometry has no positions. Give it again";
  for (const one of list) {
    const wrong = check(one);
    if (wrong !== undefined) return wrong;
  }
  return undefined;
}

function position(value: unknown): string | undefined {
  if (!Array.isArray(value) || value.length < 2 || !value.every((n) => typeof n === "number" && Number.isFinite(n)))
    return "A position is not two numbers. Give it again";
  const [lon, lat] = value as [number, number];
  return Math.abs(lat) > 90 || Math.abs(lon) > 180 ? "A position is not on the earth. Give it again" : undefined;
}

function line(value: unknown): string | undefined {
  return Array.isArray(value) && value.length < 2 ? "A line has fewer than two points. Add one" : each(value, position);
}

const area = (value: unknown): string | undefined => each(value, ring);

function ring(value: unknown): string | undefined {
  const wrong = each(value, position);
  if (wrong !== undefined) return wrong;
  const all = value as readonly (readonly [number, number])[];
  if (all.length < 4) return "A boundary has fewer than three points. Add one";
  const [first, last] = [all[0]!, all[all.length - 1]!];
  return first[0] === last[0] && first[1] === last[1] ? undefined : "A boundary is not closed. Close it";
}
