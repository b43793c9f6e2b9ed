// Makes a picture smaller before it is sent, so that a phone's photo does not crawl over the Wi-Fi.
// Without this file the picture is sent as it is; the server makes it plain either way.

const LONGEST_SIDE = 1600;
const ENOUGH_BYTES = 600_000;

/** The picture as a smaller JPEG; the same file where it is small, or cannot be drawn here. */
async function shrunk(file) {
  if (file.size <= ENOUGH_BYTES) return file;
  try {
    const picture = await createImageBitmap(file);
    const scale = Math.min(1, LONGEST_SIDE / Math.max(picture.width, picture.height));
    const canvas = document.createElement("canvas");
    canvas.width = Math.round(picture.width * scale);
    canvas.height = Math.round(picture.height * scale);
    const pen = canvas.getContext("2d");
    pen.fillStyle = "white";
    pen.fillRect(0, 0, canvas.width, canvas.height);
    pen.drawImage(picture, 0, 0, canvas.width, canvas.height);
    const blob = await new Promise((done) => canvas.toBlob(done, "image/jpeg", 0.85));
    return blob ? new File([blob], "photo.jpg", { type: "image/jpeg" }) : file;
  } catch {
    return file;
  }
}

document.addEventListener("change", async (event) => {
  const field = event.target;
  if (!field.matches("form[data-shrink] input[type=file]") || !field.files[0]) return;
  const button = field.form.querySelector("button");
  button.disabled = true;
  const files = new DataTransfer();
  files.items.add(await shrunk(field.files[0]));
  field.files = files.files;
  button.disabled = false;
});
