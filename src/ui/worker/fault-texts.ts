import { texts } from '../../words/texts.ts'

/** Why a worker gives no answer, by the kind of question. */
export const faultTexts = texts('work-faults', {
  fix: {
    fault: {
      'not-loaded':
        'A fix cannot be worked out: the page could not load what it needs. Nothing was changed. Check the network, then look again.',
      broken:
        'A fix cannot be worked out: the work stopped before its end, perhaps for lack of memory. Nothing was changed. Close other pages, then look again.',
    },
  },
  plan: {
    fault: {
      'not-loaded':
        'The plan cannot be worked out: the page could not load what it needs. Nothing was changed. Check the network, then plan again.',
      broken:
        'The plan cannot be worked out: the work stopped before its end, perhaps for lack of memory. Nothing was changed. Close other pages, then plan again.',
    },
  },
  symptom: {
    fault: {
      'not-loaded':
        'The causes cannot be worked out: the page could not load what it needs. Nothing was changed. Check the network, then ask again.',
      broken:
        'The causes cannot be worked out: the work stopped before its end, perhaps for lack of memory. Nothing was changed. Close other pages, then ask again.',
    },
  },
  probe: {
    fault: {
      'not-loaded':
        'The next question cannot be worked out: the page could not load what it needs. Your answers are kept. Check the network, then try again.',
      broken:
        'The next question cannot be worked out: the work stopped before its end, perhaps for lack of memory. Your answers are kept. Close other pages, then try again.',
    },
  },
  along: {
    fault: {
      'not-loaded':
        'Other values cannot be judged: the page could not load what it needs. Nothing was changed. Check the network, then try them again.',
      broken:
        'Other values cannot be judged: the work stopped before its end, perhaps for lack of memory. Nothing was changed. Close other pages, then try them again.',
    },
  },
  capture: {
    fault: {
      'not-loaded':
        '{file} cannot be read: the page could not load what it needs. Nothing was changed. Check the network, then open the file again.',
      broken:
        '{file} cannot be read: the work stopped before its end, perhaps for lack of memory. Nothing was changed. Close other pages, then open the file again.',
    },
  },
})
