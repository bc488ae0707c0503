// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
// Lets the table of flights be sorted by any column. Without scripts it stays in the order of the day table.
(function () {
  'use strict';
  const table = document.querySelector('.flights');
  if (!table) return;
  const body = table.tBodies[0];
  const heads = Array.from(table.tHead.rows[0].cells);
  const words = new Intl.Collator(undefined, { numeric: true, sensitivity: 'base' });

  // Numbers by size, words as a reader orders them ("launch 2" before "launch 10"); what is not known stays last.
  function key(row, column) {
    const cell = row.cells[column];
    if (cell.dataset.v !== undefined) return Number(cell.dataset.v);
    const text = (cell.querySelector('a') || cell).textContent.trim();
    return text === '' || text === '\u2013' ? null : text;
  }
  function compared(a, b) {
    return typeof a === 'number' && typeof b === 'number' ? a - b : words.compare(String(a), String(b));
  }

  function sortBy(column) {
    const head = heads[column];
    const descending = head.getAttribute('aria-sort') === 'ascending';
    heads.forEach((other) => other.removeAttribute('aria-sort'));
    head.setAttribute('aria-sort', descending ? 'descending' : 'ascending');
    const rows = Array.from(body.rows, (row) => ({ row, key: key(row, column) }));
    rows.sort((a, b) => {
      if (a.key === null || b.key === null) return (a.key === null) - (b.key === null);
      return descending ? compared(b.key, a.key) : compared(a.key, b.key);
    });
    const ordered = document.createDocumentFragment();
    rows.forEach((one) => ordered.append(one.row));
    body.append(ordered);
  }

  heads.forEach((head, column) => {
    if (head.tagName !== 'TH') return;
    const button = document.createElement('button');
    button.type = 'button';
    button.append(head.firstElementChild);
    button.addEventListener('click', () => sortBy(column));
    head.prepend(button);
  });
  if (heads[0]) heads[0].setAttribute('aria-sort', 'ascending');
  document.documentElement.classList.add('sortable');

  // Cards on a narrow screen are a table still; some readers would lose it with the table's layout.
  table.setAttribute('role', 'table');
  [table.tHead, body].forEach((part) => part.setAttribute('role', 'rowgroup'));
  Array.from(table.rows).forEach((row) => {
    row.setAttribute('role', 'row');
    Array.from(row.cells).forEach((cell) => {
      const head = row.parentElement === body ? 'rowheader' : 'columnheader';
      cell.setAttribute('role', cell.tagName === 'TH' ? head : 'cell');
    });
  });
})();
