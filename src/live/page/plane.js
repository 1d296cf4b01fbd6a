// Geometry of polygons and segments in the plane of the floor.

export function inside(polygon, x, y) {
    let is = false;
    for (let i = 0, j = polygon.length - 1; i < polygon.length; j = i++) {
        const [ax, ay] = polygon[i];
        const [bx, by] = polygon[j];
        if (ay > y !== by > y && x < ((bx - ax) * (y - ay)) / (by - ay) + ax) is = !is;
    }
    return is;
}

export function box(points) {
    let [x0, y0, x1, y1] = [Infinity, Infinity, -Infinity, -Infinity];
    for (const [x, y] of points) {
        x0 = Math.min(x0, x);
        y0 = Math.min(y0, y);
        x1 = Math.max(x1, x);
        y1 = Math.max(y1, y);
    }
    return [x0, y0, x1, y1];
}

// The nearest point of a segment, and how far along it lies, 0 to 1.
export function foot(a, b, p) {
    const [dx, dy] = [b[0] - a[0], b[1] - a[1]];
    const square = dx * dx + dy * dy;
    const t = square > 0 ? Math.min(1, Math.max(0, ((p[0] - a[0]) * dx + (p[1] - a[1]) * dy) / square)) : 0;
    return {at: [a[0] + t * dx, a[1] + t * dy], t};
}

export const distance = (a, b) => Math.hypot(a[0] - b[0], a[1] - b[1]);

export function* sides(polygon, closed = true) {
    for (let i = closed ? 0 : 1; i < polygon.length; i++) yield [polygon[(i || polygon.length) - 1], polygon[i]];
}

// Where the line at `value` along one axis (0 east, 1 north) cuts a polygon: pairs along the other axis.
export function cuts(polygon, axis, value) {
    const other = 1 - axis;
    const found = [];
    for (const [a, b] of sides(polygon)) {
        if (a[axis] > value !== b[axis] > value) {
            found.push(a[other] + ((value - a[axis]) * (b[other] - a[other])) / (b[axis] - a[axis]));
        }
    }
    found.sort((a, b) => a - b);
    const pairs = [];
    for (let i = 0; i + 1 < found.length; i += 2) pairs.push([found[i], found[i + 1]]);
    return pairs;
}

// A wall's segment with its thickness, as a polygon.
export function slab(a, b, thickness) {
    const run = distance(a, b) || 1;
    const [nx, ny] = [(-(b[1] - a[1]) / run) * (thickness / 2), ((b[0] - a[0]) / run) * (thickness / 2)];
    return [[a[0] + nx, a[1] + ny], [b[0] + nx, b[1] + ny], [b[0] - nx, b[1] - ny], [a[0] - nx, a[1] - ny]];
}

// How far along a segment it first meets a polygon's side, 0 to 1; Infinity if it does not.
export function meets(a, b, polygon, closed = true) {
    let first = Infinity;
    for (const [p, q] of sides(polygon, closed)) {
        const [dx, dy, ex, ey] = [b[0] - a[0], b[1] - a[1], q[0] - p[0], q[1] - p[1]];
        const cross = dx * ey - dy * ex;
        if (Math.abs(cross) < 1e-12) continue;
        const t = ((p[0] - a[0]) * ey - (p[1] - a[1]) * ex) / cross;
        const u = ((p[0] - a[0]) * dy - (p[1] - a[1]) * dx) / cross;
        if (t >= 0 && t <= 1 && u >= 0 && u <= 1) first = Math.min(first, t);
    }
    return first;
}
