// A file that is dropped anywhere on the page goes where it belongs: a photo under the outline, a model file on the bench, and what is
// neither is read as the trace of a load cell: the program tells whether it is one.

/** So much of a file tells what it is, bytes. */
const HEAD = 65536;
/** A table of a model file, or a key before its first table. */
const OF_A_MODEL = /^\s*(\[(window|section|nose|gate|hinge|material|rig|marking)\b[^\]]*\]|(title|window|section|nose|gate|hinge|material|rig|marking)(\.\w+)*\s*=)/m;

/** What a file is, by its name and its first letters: photo, model or trace. */
export async function kindOf(file) {
  if (file.type.startsWith('image/')) return 'photo';
  if (/\.toml$/i.test(file.name)) return 'model';
  const head = new TextDecoder().decode(await file.slice(0, HEAD).arrayBuffer());
  return OF_A_MODEL.test(head) ? 'model' : 'trace';
}

const holdsFiles = (e) => [...(e.dataTransfer?.types ?? [])].includes('Files');

export class Dropping {
  constructor(page) {
    this.page = page;
    document.addEventListener('dragover', (e) => {
      if (!holdsFiles(e)) return;
      e.preventDefault();
      document.body.classList.add('dropping');
    });
    for (const over of ['dragleave', 'drop', 'dragend']) {
      document.addEventListener(over, (e) => (over !== 'dragleave' || !e.relatedTarget) && document.body.classList.remove('dropping'));
    }
    document.addEventListener('drop', (e) => {
      // What took the file itself (the table of the photo) has said so.
      if (e.defaultPrevented || !holdsFiles(e)) return;
      e.preventDefault();
      const [file, ...more] = e.dataTransfer.files;
      if (file) this.take(file, more.length);
    });
  }

  /** Takes a file; `left`: how many were dropped with it and are left aside. */
  async take(file, left = 0) {
    const { page } = this;
    const kind = await kindOf(file).catch(() => null);
    if (!kind) {
      page.notice.say(`${file.name} cannot be read: it is a folder, or the browser may not open it.`);
      return;
    }
    if (left) page.notice.say(`${file.name} is taken; one file at a time, so ${left} more ${left > 1 ? 'are' : 'is'} left aside.`);
    if (kind === 'model') await page.opening.open(file);
    else if (kind === 'photo') {
      document.getElementById('photo').scrollIntoView();
      await page.photo.load(file);
    } else await page.records.trace.show(file);
  }
}
