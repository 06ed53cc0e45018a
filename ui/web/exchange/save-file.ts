/** Hands a text or a picture to the browser as a file to be saved; nothing leaves the machine. */

export function saveBlob(name: string, blob: Blob): void {
  const address = URL.createObjectURL(blob);
  const link = document.createElement('a');
  link.href = address;
  link.download = name;
  link.click();
  // The browser takes the file over within the click; a second is room for slow ones.
  setTimeout(() => URL.revokeObjectURL(address), 1000);
}

export function saveJson(name: string, text: string): void {
  saveBlob(name, new Blob([text], { type: 'application/json' }));
}

export function saveCsv(name: string, text: string): void {
  saveBlob(name, new Blob([text], { type: 'text/csv' }));
}
