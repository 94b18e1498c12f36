export { formatFigure as figure, formatIlluminance as illuminance } from '../../units/index.ts';

export function volts(value: number | null): string {
  return value === null ? 'no steady state' : `${value.toFixed(1)} V`;
}

export function watts(value: number): string {
  return `${value >= 100 || Number.isInteger(value) ? value.toFixed(0) : value.toFixed(1)} W`;
}

export function voltAmperes(value: number | null): string {
  return value === null ? 'no VA' : `${value.toFixed(value >= 10 ? 0 : 1)} VA`;
}

export function percent(share: number | null, digits = 0): string {
  return share === null ? 'none' : `${(share * 100).toFixed(digits)} %`;
}

/** −6 → "−6.0°" with a true minus sign. */
export function degrees(value: number, digits = 1): string {
  return `${value < 0 ? '−' : ''}${Math.abs(value).toFixed(digits)}°`;
}

export function clock(date = new Date()): string {
  return `${String(date.getHours()).padStart(2, '0')}:${String(date.getMinutes()).padStart(2, '0')}`;
}
