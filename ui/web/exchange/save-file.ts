/** Hands a text to the browser as a JSON file to be saved; nothing leaves the machine. */

export function saveJson(name: string, text: string): void {
  const address = URL.createObjectURL(new Blob([text], { type: 'application/json' }));
  const link = document.createElement('a');
  link.href = address;
  link.download = name;
  link.click();
  // The browser takes the file over within the click; a second is room for slow ones.
  setTimeout(() => URL.revokeObjectURL(address), 1000);
}
