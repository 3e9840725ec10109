// Marks that differ in outline, so that they can be told apart without colour.

type Context = CanvasRenderingContext2D;

/** A triangle that points down: one application. Filled once judged. */
export function triangle(ctx: Context, x: number, y: number, size: number, colour: string, paper: string, filled: boolean): void {
  ctx.beginPath();
  ctx.moveTo(x - size, y - size);
  ctx.lineTo(x + size, y - size);
  ctx.lineTo(x, y + size * 0.8);
  ctx.closePath();
  ctx.fillStyle = filled ? colour : paper;
  ctx.fill();
  ctx.lineWidth = Math.max(1, size * 0.3);
  ctx.strokeStyle = colour;
  ctx.stroke();
}

/** An eight-pointed star: the flash. */
export function star(ctx: Context, x: number, y: number, size: number, colour: string, paper: string): void {
  ctx.beginPath();
  for (let i = 0; i < 16; i++) {
    const radius = i % 2 === 0 ? size : size * 0.48;
    const angle = (Math.PI * i) / 8 - Math.PI / 2;
    ctx.lineTo(x + radius * Math.cos(angle), y + radius * Math.sin(angle));
  }
  outlined(ctx, size, colour, paper);
}

/** A diamond: the fire point. */
export function diamond(ctx: Context, x: number, y: number, size: number, colour: string, paper: string): void {
  ctx.beginPath();
  ctx.moveTo(x, y - size);
  ctx.lineTo(x + size * 0.85, y);
  ctx.lineTo(x, y + size);
  ctx.lineTo(x - size * 0.85, y);
  outlined(ctx, size, colour, paper);
}

function outlined(ctx: Context, size: number, colour: string, paper: string): void {
  ctx.closePath();
  ctx.lineJoin = 'round';
  ctx.lineWidth = size * 0.4;
  ctx.strokeStyle = paper;
  ctx.stroke();
  ctx.fillStyle = colour;
  ctx.fill();
}
