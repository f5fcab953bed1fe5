/** Send pictures to the server, each by itself: files in, their numbers there out. */

export async function sent(files) {
  const numbers = [];
  for (const file of files) numbers.push(await sentOne(file));
  return numbers;
}

async function sentOne(file) {
  let answer;
  try {
    answer = await fetch(`pictures?name=${encodeURIComponent(file.name)}`, { method: "POST", body: file });
  } catch {
    throw new Error(`${file.name} could not be sent: it cannot be read any more, or legend has stopped.`);
  }
  if (!answer.ok) throw new Error((await answer.text()) || `${file.name} could not be sent.`);
  return (await answer.json()).picture;
}
