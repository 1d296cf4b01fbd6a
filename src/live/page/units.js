// Lengths as people read them. The program speaks metres; a file in feet is shown in feet.

import {state} from './state.js';

const FOOT = 0.3048;

const feet = () => state.scene?.unit === 'ft';
export const unit = () => (feet() ? 'ft' : 'm');
export const unitWord = () => (feet() ? 'feet' : 'metres');
export const shown = (metres) => (feet() ? metres / FOOT : metres);
export const metres = (value) => (feet() ? value * FOOT : value);
export const number = (value, digits = 1) => shown(value).toFixed(digits).replace(/^-(?=0\.?0*$)/, '').replace('-', '−');
export const length = (value, digits = 1) => `${number(value, digits)} ${unit()}`;

// Two figures, the smaller unit while it is under ten of the larger.
export function sounding(p95) {
    const large = shown(p95);
    if (large >= 9.95) return `${Math.round(large)} ${unit()}`;
    const small = large * (feet() ? 12 : 100);
    if (feet() || small < 99.5) return String(Math.round(small));
    return String(Math.round(small / 10) * 10);
}

export const smallUnit = () => (feet() ? 'inches' : 'cm');

export function parse(text) {
    const value = Number(text.trim().replace(',', '.').replace('−', '-'));
    return text.trim() !== '' && Number.isFinite(value) ? metres(value) : null;
}

export const bearing = (from, to) =>
    (Math.round((Math.atan2(to[0] - from[0], to[1] - from[1]) * 180) / Math.PI) + 360) % 360;

export const money = (value) =>
    `${value < 0 ? '−' : ''}${Math.abs(Math.round(value)).toString().replace(/\B(?=(\d{3})+$)/g, '\u2009')}`;

export const count = (n, noun) => `${n} ${noun}${n === 1 ? '' : 's'}`;

export const tidy = (value) => Math.round(value * 1000) / 1000;

export const capital = (words) => `${words.charAt(0).toUpperCase()}${words.slice(1)}`;

// What the program says of a refusal, as a sentence of its own.
export const sentence = (words) => capital(words.endsWith('.') ? words : `${words}.`);
