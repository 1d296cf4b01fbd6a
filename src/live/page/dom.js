// Elements of the page. Text goes in as text nodes only, so nothing that a file says can become markup.

const SVG = 'http://www.w3.org/2000/svg';

export const $ = (id) => document.getElementById(id);

function furnish(node, traits, children) {
    for (const [name, value] of Object.entries(traits)) {
        if (value === null || value === undefined || value === false) continue;
        if (name === 'on') {
            for (const [event, act] of Object.entries(value)) node.addEventListener(event, act);
        } else {
            node.setAttribute(name, value === true ? '' : value);
        }
    }
    node.append(...children.flat().filter((child) => child !== null && child !== undefined && child !== false));
    return node;
}

export const el = (tag, traits = {}, ...children) => furnish(document.createElement(tag), traits, children);
export const drawn = (tag, traits = {}, ...children) =>
    furnish(document.createElementNS(SVG, tag), traits, children);

// Writes a text only when it differs: a live region speaks of changes, not of frames.
export function write(node, text) {
    if (node.textContent !== text) node.textContent = text;
}

export function trait(node, name, value) {
    if (value === null || value === false) node.removeAttribute(name);
    else if (node.getAttribute(name) !== String(value)) node.setAttribute(name, value);
}

export const button = (words, act, kind = '') =>
    el('button', {type: 'button', class: `btn ${kind}`.trim(), on: {click: act}}, words);
