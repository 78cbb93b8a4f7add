// Filter of the catalogue's page: rows that hold all words stay, headings without rows go.
const field = document.getElementById("catalogue-filter");
if (field) {
  const tables = [...document.querySelectorAll("table.catalogue")];
  const rows = tables.flatMap((table) => [...table.tBodies[0].rows].map((row) => ({ row, text: row.textContent.toLowerCase() })));
  const show = () => {
    const words = field.value.toLowerCase().split(/\s+/).filter(Boolean);
    let shown = 0;
    for (const { row, text } of rows) {
      row.hidden = !words.every((word) => text.includes(word));
      shown += row.hidden ? 0 : 1;
    }
    for (const table of tables) table.closest("section").hidden = ![...table.tBodies[0].rows].some((row) => !row.hidden);
    document.getElementById("catalogue-count").textContent = words.length ? `${shown} of ${rows.length}` : "";
  };
  field.addEventListener("input", show);
  show();
}
