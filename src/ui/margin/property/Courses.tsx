import type { CourseRecord, PartOf } from '../../../scene/index.ts';
import { Fold } from '../../parts/controls.tsx';
import { FieldTable } from '../../parts/FieldTable.tsx';
import { type FieldSpec, material, number, text } from '../../parts/fields.ts';

type Wall = PartOf<'wall'>;

export const COURSE_FIELDS: FieldSpec<CourseRecord>[] = [
  text('Name', 'name'),
  number('Underside above the foot', 'undersideM', 'm', [0, 15, 0.01]),
  number('Height', 'heightM', 'm', [0.01, 3, 0.01]),
  number('Stands out', 'projectionM', 'm', [0.005, 1, 0.005]),
  material('Material', 'material'),
];

/** Bands along a wall: string courses, a plinth. */
export function Courses({ wall, onPut }: { wall: Wall; onPut(what: string): (next: Wall) => void }) {
  const add = () => {
    let n = wall.courses.length + 1;
    while (wall.courses.some((c) => c.id === `course-${n}`)) n += 1;
    const course: CourseRecord = {
      id: `course-${n}`,
      name: `Course ${n}`,
      undersideM: Math.round(wall.heightM * 50) / 100,
      heightM: 0.15,
      projectionM: 0.04,
      material: 'limestone',
    };
    onPut('add course to')({ ...wall, courses: [...wall.courses, course] });
  };
  return (
    <>
      {wall.courses.map((course) => (
        <Fold key={course.id} title={course.name || course.id} note="course">
          <FieldTable
            fields={COURSE_FIELDS}
            records={[course]}
            onPut={(what, [next]) =>
              next &&
              onPut(`${what} of ${course.name || 'course'} in`)({
                ...wall,
                courses: wall.courses.map((c) => (c.id === next.id ? next : c)),
              })
            }
          />
          <button
            type="button"
            onClick={() => onPut('remove course in')({ ...wall, courses: wall.courses.filter((c) => c.id !== course.id) })}
          >
            Remove
          </button>
        </Fold>
      ))}
      <button type="button" onClick={add}>
        Add course
      </button>
    </>
  );
}
