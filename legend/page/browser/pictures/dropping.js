/** Let pictures be dropped anywhere on the page, on one of two areas: what they are pictures of. */

export class Dropping {
  /** `place` holds the areas, each with what it is for as `data-of`; `dropped` gets that and files. */
  constructor(place, dropped) {
    Object.assign(this, { place, dropped });
    for (const name of ["dragenter", "dragover"]) {
      document.addEventListener(name, (event) => this.#over(event), true);
    }
    document.addEventListener("dragleave", (event) => {
      if (event.relatedTarget === null) this.#end();
    }, true);
    document.addEventListener("drop", (event) => this.#drop(event), true);
  }

  #over(event) {
    if (!hasFiles(event)) return;
    event.preventDefault();
    const area = areaOf(event);
    event.dataTransfer.dropEffect = area ? "copy" : "none";
    this.place.hidden = false;
    for (const each of this.place.children) each.classList.toggle("under", each === area);
  }

  #drop(event) {
    if (!hasFiles(event)) return;
    event.preventDefault();
    const area = areaOf(event);
    const files = [...event.dataTransfer.files];
    this.#end();
    if (area && files.length) this.dropped(area.dataset.of, files);
  }

  #end() {
    this.place.hidden = true;
  }
}

function hasFiles(event) {
  return [...event.dataTransfer?.types ?? []].includes("Files");
}

function areaOf(event) {
  return event.target instanceof Element ? event.target.closest(".drop-area") : null;
}
