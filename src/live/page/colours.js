// Inks and grounds, read from the style sheet so that each stands in one place.

import {tell} from './state.js';

const NAMES = ['paper', 'paper2', 'ink', 'soft', 'rule', 'land', 'land-ink', 'need', 'good', 'nofix', 'nofix-ground', 'mark',
    'w0', 'w1', 'w2', 'w3', 'w4', 'w5', 'w6'];

// Borders of the classes of an error in metres, the same for every hall and on every sheet.
export const CLASSES = [0.2, 0.5, 1, 2, 5, 10];

export const ink = {figures: 'sans-serif', tints: [], figureOn: []};

export function classOf(p95) {
    let found = 0;
    while (found < CLASSES.length && p95 > CLASSES[found]) found++;
    return found;
}

function channels(colour) {
    const value = parseInt(colour.slice(1), 16);
    return [value >> 16, (value >> 8) & 255, value & 255];
}

// Relative luminance and contrast of WCAG 2.2.
function luminance(colour) {
    const [r, g, b] = channels(colour).map((c) => (c / 255 <= 0.04045 ? c / 255 / 12.92 : ((c / 255 + 0.055) / 1.055) ** 2.4));
    return 0.2126 * r + 0.7152 * g + 0.0722 * b;
}

export function contrast(one, other) {
    const [a, b] = [luminance(one), luminance(other)];
    return (Math.max(a, b) + 0.05) / (Math.min(a, b) + 0.05);
}

// A colour as a pixel of ImageData on a little-endian machine.
export function pixel(colour) {
    const [r, g, b] = channels(colour);
    return (0xff000000 | (b << 16) | (g << 8) | r) >>> 0;
}

export function readColours() {
    const style = getComputedStyle(document.documentElement);
    for (const name of NAMES) ink[name] = style.getPropertyValue(`--${name}`).trim();
    ink.figures = style.getPropertyValue('--figures').trim();
    ink.tints = CLASSES.concat(0).map((_, i) => ink[`w${i}`]);
    ink.figureOn = ink.tints.map((tint) => (contrast(tint, ink.ink) >= contrast(tint, ink.paper) ? ink.ink : ink.paper));
    tell('view', 'field', 'scene');
}

export function watchLook() {
    for (const query of ['(prefers-color-scheme: dark)', '(prefers-contrast: more)', '(forced-colors: active)']) {
        matchMedia(query).addEventListener('change', readColours);
    }
    const look = new URLSearchParams(location.search).get('look');
    if (look === 'day' || look === 'night') document.documentElement.dataset.look = look;
    readColours();
}
