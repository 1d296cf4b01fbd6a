// The section of the hall, where a coast chart has its profile: heights, with what is cut filled. Anchors are
// dragged up and down in it.

import {$, drawn, write} from './dom.js';
import {graduation} from './neat.js';
import {carry, clampHeight, putBack, select, settle} from './moves.js';
import {box, cuts, slab} from './plane.js';
import {anchorNamed, hasFloor, placeOf, readOnly, state, tell, watch} from './state.js';
import {metres, number, shown, unit} from './units.js';
import {X, view} from './view.js';

const NAMED = 3; // metres from the cut within which anchors are named
const ROOM = [14, 11]; // pixels within which two names would stand on one another
const TOP = 12;
const FOOT = 22;
const SIDE = 31; // from the plan's left edge, where the section looks east

const svg = $('section');
let high = 0;
let wide = 0;

const axis = () => (state.east ? 1 : 0); // the floor's axis that runs along the section
const ceiling = () => state.scene.ceiling || 1;
const Z = (z) => high - FOOT - (z * (high - TOP - FOOT)) / ceiling();

// Looking north the section lies under the plan, place by place; looking east, north is on the left.
function along(value) {
    if (!state.east) return X(value);
    const {low, high: far} = state.scene;
    const scale = Math.min(view.scale, (view.width - 2 * SIDE) / (far[1] - low[1]));
    return SIDE + (far[1] - value) * scale;
}

function cutAt() {
    const across = 1 - axis();
    if (state.spot) return state.spot.at[across];
    const anchor = anchorNamed(state.selected);
    if (anchor) return placeOf(anchor)[across];
    return (state.scene.low[across] + state.scene.high[across]) / 2;
}

function* bodies() {
    for (const {polygon, base, top} of state.scene.obstacles ?? []) yield {polygon, base, top};
    for (const {points, thickness, base, top} of state.scene.walls ?? []) {
        for (let i = 1; i < points.length; i++) yield {polygon: slab(points[i - 1], points[i], thickness), base, top};
    }
}

function rect(a, b, base, top, kind) {
    const [x0, x1] = [Math.min(along(a), along(b)), Math.max(along(a), along(b))];
    return drawn('rect', {class: kind, x: x0, y: Z(top), width: Math.max(1.5, x1 - x0), height: Math.max(0, Z(base) - Z(top))});
}

function body({polygon, base, top}, cut) {
    const pairs = cuts(polygon, 1 - axis(), cut);
    if (pairs.length) return pairs.map(([a, b]) => rect(a, b, base, top, 'cut'));
    const ends = box(polygon);
    return [rect(ends[axis()], ends[axis() + 2], base, top, 'beyond')];
}

function scaleLines(left, right) {
    const step = graduation((high - TOP - FOOT) / ceiling(), 20);
    const lines = [];
    for (let n = 0; n * step <= shown(ceiling()) + 1e-9; n++) {
        const y = Z(metres(n * step));
        lines.push(drawn('line', {class: 'level', x1: left, x2: right, y1: y, y2: y}),
            drawn('text', {x: left - 5, y: y + 4, 'text-anchor': 'end'}, String(Math.round(n * step * 10) / 10)));
    }
    return lines;
}

function lift(anchor, event) {
    if (event.button !== 0) return;
    event.preventDefault();
    select(anchor.name);
    if (readOnly()) return;
    svg.setPointerCapture(event.pointerId);
    const from = placeOf(anchor);
    const move = (now) => {
        const up = ((event.clientY - now.clientY) * ceiling()) / (high - TOP - FOOT);
        const z = clampHeight(metres(Math.round(shown(from[2] + up) * 20) / 20));
        carry(anchor.name, [from[0], from[1], z], now.timeStamp);
    };
    const stop = (act) => () => {
        ends.abort();
        act(anchor.name);
    };
    const ends = new AbortController();
    svg.addEventListener('pointermove', move, {signal: ends.signal});
    svg.addEventListener('pointerup', stop(settle), {signal: ends.signal});
    svg.addEventListener('pointercancel', stop(putBack), {signal: ends.signal});
}

const isNamed = (anchor, cut) => anchor.name === state.selected || Math.abs(placeOf(anchor)[1 - axis()] - cut) < NAMED;

// What is written beside anchors: names that would stand on one another share the line of the first.
function nameLines(anchors, cut) {
    const lines = [];
    const named = anchors.filter((one) => isNamed(one, cut));
    for (const anchor of named.sort((a, b) => (b.name === state.selected) - (a.name === state.selected))) {
        const at = placeOf(anchor);
        const [x, y] = [along(at[axis()]), Z(at[2])];
        const words = anchor.name === state.selected ? `${anchor.name} ${number(at[2], 2)}` : anchor.name;
        const line = lines.find((one) => Math.abs(one.x - x) < ROOM[0] && Math.abs(one.y - y) < ROOM[1]);
        if (line) line.words.push(words);
        else lines.push({of: anchor.name, x, y, words: [words]});
    }
    return new Map(lines.map(({of, words}) => [of, words.join(', ')]));
}

function handle(anchor, cut, words) {
    const at = placeOf(anchor);
    const on = anchor.name === state.selected;
    const named = isNamed(anchor, cut);
    const x = along(at[axis()]);
    const node = drawn('g', {class: `anchor${on ? ' on' : ''}${named ? '' : ' small'}`, 'data-name': anchor.name, transform: `translate(${x} ${Z(at[2])})`},
        drawn('circle', {class: 'reach', r: 14}), drawn('circle', {class: 'ring', r: named ? 5 : 3.5}), drawn('circle', {class: 'dot', r: named ? 2 : 1.1}));
    if (words) {
        const turned = x > wide - 90;
        node.append(drawn('text', {x: turned ? -9 : 9, y: -3, 'text-anchor': turned ? 'end' : 'start'},
            words));
    }
    node.addEventListener('pointerdown', (event) => lift(anchor, event));
    return node;
}

function paint() {
    $('turn').hidden = !hasFloor();
    if (!hasFloor() || !wide || !state.scene.ceiling) {
        svg.replaceChildren();
        return;
    }
    svg.setAttribute('viewBox', `0 0 ${wide} ${high}`);
    const {low, high: far} = state.scene;
    const ends = [along(low[axis()]), along(far[axis()])];
    const [left, right] = [Math.min(...ends), Math.max(...ends)];
    const cut = cutAt();
    const parts = [drawn('rect', {class: 'room', x: left, y: Z(ceiling()), width: right - left, height: Z(0) - Z(ceiling())}), ...scaleLines(left, right)];
    for (const one of bodies()) parts.push(...body(one, cut));
    const tag = (state.scene.tags ?? []).find((one) => one.name === state.scene.tag);
    if (tag) {
        parts.push(drawn('line', {class: 'tag', x1: left, x2: right, y1: Z(tag.height), y2: Z(tag.height)}),
            drawn('text', {x: right + 4, y: Z(tag.height) + 4}, 'tag'));
    }
    const words = state.east ? `Section at ${number(cut)} ${unit()} east, looking east (north on the left)` : `Section at ${number(cut)} ${unit()} north, looking north`;
    parts.push(drawn('text', {class: 'title', x: Math.max(4, left), y: high - 4}, `${words}; heights in ${unit()}. What is cut is filled.`));
    if (state.spot && tag) parts.push(drawn('circle', {class: 'spot', cx: along(state.spot.at[axis()]), cy: Z(tag.height), r: 4.5}));
    const anchors = state.scene.anchors ?? [];
    const lines = nameLines(anchors, cut);
    svg.replaceChildren(...parts, ...anchors.map((anchor) => handle(anchor, cut, lines.get(anchor.name))));
    svg.setAttribute('aria-label', `${words}. Drag an anchor up or down to change its height.`);
    write($('turn'), state.east ? 'look north' : 'look east');
}

export function startSection() {
    $('turn').addEventListener('click', () => {
        state.east = !state.east;
        tell('hands');
    });
    new ResizeObserver(([{contentRect: room}]) => {
        [wide, high] = [Math.round(room.width), Math.round(room.height)];
        tell('view');
    }).observe($('profile'));
    watch(['scene', 'view', 'hands'], paint);
}
