/** Numbers as the trade writes them: in hexadecimal, with capitals. */
export const hexWord = (number: number, digits: number): string =>
  number.toString(16).toUpperCase().padStart(digits, '0')

/** Vendor and product of a pad: "1209:0001". */
export const numbersWord = ({
  vendorId,
  productId,
}: {
  readonly vendorId: number
  readonly productId: number
}) => `${hexWord(vendorId, 4)}:${hexWord(productId, 4)}`
