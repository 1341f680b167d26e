import { secureHeaders } from 'hono/secure-headers'

/**
 * What every answer tells browsers: take nothing for another type than it says, show it in no frame, run and load nothing
 * but what comes from here, and neither script nor style that stands in a page.
 */
export function securityHeadings() {
  return secureHeaders({
    contentSecurityPolicy: {
      defaultSrc: ["'none'"],
      scriptSrc: ["'self'"],
      styleSrc: ["'self'"],
      // Pictures of figures on their way to a file.
      imgSrc: ["'self'", 'data:', 'blob:'],
      fontSrc: ["'self'"],
      connectSrc: ["'self'"],
      workerSrc: ["'self'"],
      manifestSrc: ["'self'"],
      objectSrc: ["'none'"],
      baseUri: ["'none'"],
      formAction: ["'self'"],
      frameAncestors: ["'none'"],
    },
    xFrameOptions: 'DENY',
    referrerPolicy: 'no-referrer',
    permissionsPolicy: {
      camera: [],
      microphone: [],
      geolocation: [],
      payment: [],
      usb: [],
      clipboardWrite: ['self'],
      clipboardRead: ['self'],
    },
  })
}
